import io

from shop.management.progress import Progress


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_the_bar_is_drawn_on_a_terminal_once_for_each_percentage() -> None:
    terminal = Terminal()
    bar = Progress(terminal, "Checking")
    for share in (0, 0.001, 0.5, 0.5, 1, 1.2):
        bar.show(share)
    assert terminal.getvalue().count("\r") == 3
    assert terminal.getvalue().endswith(f"[{'#' * 30}] 100 %")
    bar.clear()
    assert terminal.getvalue().endswith("\r")


def test_the_bar_is_not_drawn_into_a_file() -> None:
    file = io.StringIO()
    Progress(file, "Checking").show(0.5)
    assert file.getvalue() == ""
