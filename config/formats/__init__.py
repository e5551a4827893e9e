"""How Django writes dates where no filter of ours does: the administration."""
