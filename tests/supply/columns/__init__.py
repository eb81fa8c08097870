"""Lists of prices as tables: what each column means, what every line says, and what no longer fits."""
