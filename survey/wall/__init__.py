"""From the slab to walls: layout, joists, gap, studs, choices, the plan."""
