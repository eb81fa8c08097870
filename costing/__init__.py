"""Everything Stillroom Ledger computes, with no screen: usable from a terminal or a notebook."""
