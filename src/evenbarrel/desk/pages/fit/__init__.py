"""The Fit page: every barrel against every planned job."""
