"""The Shots page: the planned jobs and the resins they run in."""
