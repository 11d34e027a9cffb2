"""What owning a machine costs over its life, and the hours its work takes."""
