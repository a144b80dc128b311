//! The README's plate of cuts: one cloth and the ways to cut it, as the library cuts them.

use std::fmt::Write;
use std::path::{Path, PathBuf};

use seamfast::cut::{Bridging, Checks, Corner, Cut, Goods, Islands, Mode, Settings};
use seamfast::design::{Design, Order};
use seamfast::length::{Length, Unit};

use crate::common::Picture;
use crate::golden::picture_of;
use crate::readme::{holds, paper, project};

const MM: f64 = 36_000.0;

/// Row by row: the cloth, silhouette, stacked, inlay, outline, stencil with bridges.
#[test]
fn every_way_to_cut() {
    let design = project().join("tests/pictures/cut.toml");
    let text = std::fs::read_to_string(&design).expect("cut.toml");
    let order = Design::parse(&text, &design).expect("a design");
    let order = Order::decide(&order, &project().join("tests/pictures"), "cut").expect("an order");
    let stencil = Mode::Stencil { ink_out: true, frame: 0.0, islands: Islands::Bridge(Bridging { width: 1.4 * MM }) };
    let modes = [
        (Mode::Silhouette, Look::Pieces("#20344d")),
        (Mode::Stacked, Look::Apart),
        (Mode::Inlay { overlap: 0.0 }, Look::Inks),
        (Mode::Outline { distance: 1.5 * MM, corner: Corner::Round, fill: 20.0 * MM }, Look::Pieces("#e7dcc2")),
        (stencil, Look::Pieces("#c9ad7c")),
    ];
    let mut panels = vec![picture_of(&design)];
    for (number, (mode, look)) in modes.into_iter().enumerate() {
        let cut = order.cut(&settings(mode)).expect("a cut");
        panels.push(picture_of(&drawn(number, &cut, look)));
    }
    let (width, height) = (panels[0].width, panels[0].height);
    let gap = 12;
    let mut sheet: Picture = paper(3 * (width + gap) - gap, 2 * (height + gap) - gap);
    for (number, panel) in panels.iter().enumerate() {
        sheet.lay(panel, number % 3 * (width + gap), number / 3 * (height + gap));
    }
    holds("every-cut.png", &sheet);
}

fn settings(mode: Mode) -> Settings {
    let nothing = Length::ZERO;
    Settings {
        patterns: seamfast::artwork::Patterns::Ink,
        mode,
        goods: Goods::Tiles([1, 1]),
        roll: false,
        kerf: nothing,
        simplify: Length::from_emu(Unit::Mm.emu() / 100),
        checks: Checks { piece: nothing, part: nothing, gap: nothing },
        sheets: None,
        weed_border: None,
        weed_lines: None,
        marks: false,
        speeds: [Length::of(20, Unit::Mm), Length::of(100, Unit::Mm)],
        skip: Vec::new(),
    }
}

/// How pieces are shown.
#[derive(Clone, Copy)]
enum Look {
    /// All of one color.
    Pieces(&'static str),
    /// Each layer in its ink, a little aside from the one below.
    Apart,
    /// Each layer in its ink.
    Inks,
}

/// A design that shows a cut: pieces filled, lines over them.
fn drawn(number: usize, cut: &Cut, look: Look) -> PathBuf {
    let sheet = &cut.sheets[0];
    let [width, height] = [sheet.size.width, sheet.size.height].map(|side| side.to(Unit::Mm));
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" viewBox=\"0 0 {width} {height}\">"
    );
    for (index, layer) in sheet.layers.iter().enumerate() {
        let (fill, aside) = match look {
            Look::Pieces(color) => (color.to_owned(), 0.0),
            Look::Apart => (format!("#{}", layer.name), 1.3 * index as f64),
            Look::Inks => (format!("#{}", layer.name), 0.0),
        };
        let data: String =
            layer.paths.iter().map(|path| (kurbo::Affine::scale(1.0 / MM) * &path.path).to_svg()).collect();
        let _ = write!(
            svg,
            "<path transform=\"translate({aside} -{aside})\" d=\"{data}\" fill=\"{fill}\" fill-rule=\"evenodd\" stroke=\"#d9381e\" stroke-width=\"0.25\"/>"
        );
    }
    svg.push_str("</svg>");
    let folder = project().join("target/plate");
    std::fs::create_dir_all(&folder).expect("target/plate");
    let save = |name: String, text: String| -> PathBuf {
        let path = Path::new(&folder).join(name);
        std::fs::write(&path, text).expect("written");
        path
    };
    save(format!("{number}.svg"), svg);
    let design = format!(
        "ground = \"#ffffff\"\n[repeat]\nlayout = \"straight\"\ntile = \"{width}mm x {height}mm\"\n\
         [[motif]]\nfile = \"{number}.svg\"\n[[deliver]]\ndpi = 110\n"
    );
    save(format!("{number}.toml"), design)
}
