"""The desk: what people see. The only package that imports Qt and pyqtgraph."""
