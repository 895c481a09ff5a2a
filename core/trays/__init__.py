"""Trays: sown, up, pricked out, potted on, hardened off step by step, set out or lost."""
