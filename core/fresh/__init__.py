"""What is fresh, in the bucket and the cooler: how much of its days in the vase is used."""

from core.subject import Subject

SUBJECT = Subject(title="Buckets", asks=("fresh",), keeps=("lots",))
