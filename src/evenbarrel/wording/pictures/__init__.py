"""Pictures as traces that only need drawing, the same on screen and paper."""
