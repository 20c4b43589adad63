"""``python -m tests.tui.pictures``: draw the pictures of README.md anew."""

from tests.tui.pictures import FOLDER, draw

if __name__ == "__main__":
    for name, picture in draw().items():
        path = FOLDER / f"{name}.svg"
        path.write_text(picture, encoding="utf-8", newline="\n")
        print(path)
