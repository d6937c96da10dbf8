#!/usr/bin/env python3
"""Ribband's commands: `start` serves the shop, `test` runs its tests, and every command of Django's own.

Runs on a bare Python: what is needed is installed into .venv first.
"""

import importlib.util
import os
import sys

from shop.launch import environment


def main() -> None:
    """Run the command named on the command line."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    command, arguments = sys.argv[1:2], sys.argv[2:]
    if command == ["test"]:
        environment.enter("tests/requirements.txt")
        from shop.launch.suite import run_tests

        sys.exit(run_tests(arguments))
    if command == ["start"]:
        environment.enter("requirements.txt")
        from shop.launch.start import start

        start(arguments)
        return
    if environment.VENV.exists() or importlib.util.find_spec("django") is None:
        environment.enter("requirements.txt")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
