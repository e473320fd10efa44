"""How much one file may hold. A large piece is a few hundred lines, so these leave room and still stop a bomb."""

FILE_BYTES = 1_000_000
DEPTH = 40
NODES = 50_000
SCALAR_CHARACTERS = 4_000
FINDINGS = 20
