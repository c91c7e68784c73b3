"""Two tasks: `run` does one job, `tick` looks what is due. Neither holds a rule."""

from nursery.tasks.run import run
from nursery.tasks.tick import tick

__all__ = ["run", "tick"]
