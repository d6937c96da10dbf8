"""What an audit finds: where the tables or the log are not what they should be."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Difference:
    """Where the tables or the log are not what they should be."""

    tag: str
    where: str
    log: object
    table: object

    def __str__(self) -> str:
        return f"{self.tag}: {self.where}: the log says {self.log!r}, the table says {self.table!r}"
