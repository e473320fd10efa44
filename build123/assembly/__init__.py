"""How a piece goes together: an order in which every part comes in by a straight move, found from contacts and solids."""
