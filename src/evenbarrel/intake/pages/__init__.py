"""The pages of a quote: opened, read as words in boxes, searched, and their tables read."""
