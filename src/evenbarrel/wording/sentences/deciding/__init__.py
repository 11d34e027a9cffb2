"""What is said where people decide: gates, the order of the bids, what a step would come to."""
