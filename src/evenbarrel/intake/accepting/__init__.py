"""What a person does with a proposal: ticks its lines, puts them right and takes them."""
