"""QR codes (ISO/IEC 18004) as drawings that any screen and any paper shows sharp."""

import io

import segno

QUIET_ZONE = 4  # modules, as the standard wants


def svg(text: str) -> str:
    """Return the code of `text` as an SVG without a size: black on white, whatever the light."""
    drawn = io.BytesIO()
    code = segno.make_qr(text, error="m")
    code.save(
        drawn,
        kind="svg",
        border=QUIET_ZONE,
        dark="#000",
        light="#fff",
        xmldecl=False,
        omitsize=True,
    )
    return drawn.getvalue().decode()
