"""The calculation note: one model made from the contract, and its prints; each print shows the same blocks in order."""
