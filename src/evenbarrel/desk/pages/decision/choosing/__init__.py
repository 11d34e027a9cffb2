"""The steps from offers to a proposal: basis, offers, cost, cover, order, proposal."""
