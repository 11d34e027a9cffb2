"""What a person does with an extract: ticks its lines, puts them right and takes them."""
