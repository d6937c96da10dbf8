from pathlib import Path

import pytest

from shop.launch import environment


@pytest.fixture
def bare(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A checkout with requirements and no environment."""
    monkeypatch.setattr(environment, "ROOT", tmp_path)
    monkeypatch.setattr(environment, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(environment, "PYTHON", tmp_path / ".venv" / "bin" / "python")
    (tmp_path / "requirements.txt").write_text("Django==5.2\n")
    (tmp_path / "tests").mkdir()
    (tmp_path / "tests" / "requirements.txt").write_text("-r ../requirements.txt\npytest==9.2\n")
    return tmp_path


def given_an_environment(bare: Path) -> None:
    """Make the folder look like an environment in which the tests' requirements were installed."""
    environment.PYTHON.parent.mkdir(parents=True)
    environment.PYTHON.touch(mode=0o755)
    for name in environment.with_included("tests/requirements.txt"):
        environment.stamp_of(name).write_text(environment.digest(name))


def test_nothing_is_installed_in_a_bare_checkout(bare: Path) -> None:
    assert not environment.is_installed("requirements.txt")
    assert not environment.is_inside()


def test_what_was_installed_is_remembered_until_the_requirements_change(bare: Path) -> None:
    given_an_environment(bare)
    assert environment.is_installed("requirements.txt")
    (bare / "requirements.txt").write_text("Django==5.3\n")
    assert not environment.is_installed("requirements.txt")


def test_a_change_of_an_included_file_is_a_change_of_the_whole(bare: Path) -> None:
    given_an_environment(bare)
    assert environment.is_installed("tests/requirements.txt")
    (bare / "requirements.txt").write_text("Django==5.3\n")
    assert not environment.is_installed("tests/requirements.txt")


def test_who_installed_for_the_tests_installed_for_the_shop_too(bare: Path) -> None:
    assert environment.with_included("tests/requirements.txt") == ["tests/requirements.txt", "requirements.txt"]


def test_an_environment_whose_python_is_gone_is_not_an_installed_one(bare: Path) -> None:
    given_an_environment(bare)
    environment.PYTHON.unlink()
    assert not environment.is_installed("requirements.txt")


def test_an_older_python_is_refused_in_a_sentence(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(environment, "OLDEST", (99, 0))
    with pytest.raises(SystemExit, match=r"Ribband needs Python 99\.0 or later"):
        environment.enter("requirements.txt")


def test_data_that_only_the_tests_read_is_installed_beside_the_rest(bare: Path) -> None:
    given_an_environment(bare)
    (bare / "tests" / "data-requirements.txt").write_text("some-data==1.0\n")
    assert not environment.is_installed("tests/requirements.txt")
    assert environment.is_installed("requirements.txt")
    name = environment.with_alone("tests/requirements.txt")[1]
    environment.stamp_of(name).write_text(environment.digest(name))
    assert environment.is_installed("tests/requirements.txt")
