//! A commented design file to begin with.

use std::fmt::Write;

use super::place::spread;

/// The text of a design with these motifs (paths as they will be found from the design file)
/// spread over an 8 in half-drop tile.
pub fn starter(name: &str, motifs: &[String]) -> String {
    let quoted = |text: &str| toml::Value::String(text.into()).to_string();
    let mut out = String::new();
    let _ = write!(
        out,
        "# A Seamfast design. Make its files with: seamfast make {name}.toml\n\
         \n\
         name   = {}\n\
         ground = \"#f3eee3\"           # the background; \"none\" leaves it out\n\
         \n\
         [repeat]\n\
         layout = \"half-drop\"         # straight, half-drop, brick, drop=1/3, brick=1/3, mirror, mirror-across, mirror-down\n\
         block  = \"4in x 8in\"         # two of them side by side, one dropped by half, make the 8 in tile\n",
        quoted(name)
    );
    for (file, [x, y]) in motifs.iter().zip(spread(motifs.len(), [4.0, 8.0])) {
        let _ = write!(
            out,
            "\n\
             [[motif]]\n\
             file  = {}\n\
             # width = \"2.5in\"           # without it, the drawing's own true size\n\
             at    = [\"{x}\", \"{y}\"]     # its middle, in the block: shares, or lengths such as \"2in\"\n\
             turn  = 0                   # degrees, clockwise\n",
            quoted(file)
        );
    }
    out.push_str(
        "\n\
         [[deliver]]\n\
         as  = [\"svg\", \"png\", \"tiff\"]\n\
         dpi = 150                     # 150 is usual for cloth, 300 for paper\n",
    );
    out
}
