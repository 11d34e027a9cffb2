"""The trade's formulas: one module per phenomenon, SI floats or numpy arrays in and out."""
