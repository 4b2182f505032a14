"""The caution that stands in the README and at the foot of every report."""

STANDING_CAUTION = (
    "This is an aid for people trained in electrical work. The maker's own data comes first. Local codes "
    "and a licensed electrician decide. An electronic off state is not isolation: switch off at a suitable "
    "device, lock it, and prove dead before touching conductors."
)
