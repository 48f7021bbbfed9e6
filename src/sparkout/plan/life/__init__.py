"""How long what is kept should last: by the engine's own wear, and by that of its family."""

from sparkout.plan.life.family import Family, read_family
from sparkout.plan.life.kept import Kept, kept_lives

__all__ = ["Family", "Kept", "kept_lives", "read_family"]
