"""The people of the shop, how they prove who they are, and what each may enter."""
