"""What the written evaluation says: its sections, its first two pages, its appendix."""
