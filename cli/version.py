"""The version of griplife that is installed."""


def version() -> str:
    """Version as the package was installed; "not installed" when it runs from a bare source tree."""
    from importlib.metadata import PackageNotFoundError
    from importlib.metadata import version as installed

    try:
        return installed("griplife")
    except PackageNotFoundError:
        return "not installed"
