"""The plan on screen: lines and why, the routing policy, what other answers would make of it, and the sign-off."""
