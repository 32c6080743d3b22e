"""The work of a plan: joints, steps in order, proof, parts to buy."""
