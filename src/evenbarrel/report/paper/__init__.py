"""The written evaluation laid out: pages, tables, pictures and the words on them."""
