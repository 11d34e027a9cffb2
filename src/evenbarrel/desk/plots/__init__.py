"""The pictures on the screen, imported only when a page first shows one: pyqtgraph loads slowly."""
