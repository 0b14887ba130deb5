"""The scripts of this folder are run by themselves, as an engineer would; nothing in them is collected."""

collect_ignore_glob = ["*.py"]
