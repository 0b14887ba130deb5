"""What a shell completes in arguments of commands: files, standards, kinds of joints, kinds of tables."""

from click.shell_completion import CompletionItem


def some_file(ctx, param, incomplete: str) -> list[CompletionItem]:
    """Files and folders, as the shell itself completes them."""
    return [CompletionItem(incomplete, type="file")]


def standards(ctx, param, incomplete: str) -> list[str]:
    """Names of the standards."""
    from cli.table_files import known_standards

    return _begun(known_standards(), incomplete)


def kinds_of_joints(ctx, param, incomplete: str) -> list[str]:
    """What `griplife new` writes."""
    from cli.new_job import kinds

    return _begun(kinds(), incomplete)


def kinds_of_tables(ctx, param, incomplete: str) -> list[str]:
    """What `griplife tables` takes as its first word."""
    from cli.table_files import kinds

    return _begun(kinds(), incomplete)


def _begun(words, incomplete: str) -> list[str]:
    return [word for word in words if word.startswith(incomplete)]
