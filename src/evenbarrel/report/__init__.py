"""The evaluation on paper: what others read, sign and keep."""
