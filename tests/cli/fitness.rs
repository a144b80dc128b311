//! `seamfast check`: is a tile fit for print? Each finding is found, its clean neighbor is not.

use seamfast::fitness::FINDINGS;
use seamfast::join::FaultKind;
use serde_json::{Value, json};

use crate::shop::Shop;

const EVENNESS: [&str; 4] = ["alley", "bald-spot", "lump", "one-way"];

/// The findings of the one file that is judged, in order.
fn findings(shop: &Shop, args: &[&str]) -> Vec<Value> {
    let done = shop.run(&[&["check", "--json"], args].concat());
    assert!(matches!(done.code, Some(0 | 1)) && done.err.is_empty(), "{args:?}: {}", done.err);
    let answer: Value = serde_json::from_str(&done.out).unwrap();
    let [file] = &answer["files"].as_array().unwrap()[..] else { panic!("{answer}") };
    let findings = file["findings"].as_array().unwrap().clone();
    let counts = |f: &&Value| f["severity"] == "warning" && f["accepted"].is_null();
    assert_eq!(file["warnings"], findings.iter().filter(counts).count());
    // How evenly ink lies is another matter.
    let fitness = |f: &Value| !EVENNESS.iter().any(|code| f["code"] == *code);
    findings.into_iter().filter(fitness).collect()
}

fn codes(shop: &Shop, args: &[&str]) -> Vec<String> {
    findings(shop, args).iter().map(|f| f["code"].as_str().unwrap().to_owned()).collect()
}

/// The only finding of that code.
fn only(shop: &Shop, args: &[&str], code: &str) -> Value {
    let found = findings(shop, args);
    let mut found = found.into_iter().filter(|f| f["code"] == code);
    let one = found.next().unwrap_or_else(|| panic!("{args:?}: no {code}"));
    assert!(found.next().is_none(), "{args:?}: {code} twice");
    one
}

/// A drawing of 100 × 100 pt that is a tile, on a ground of its own.
fn page(body: &str) -> String {
    format!(
        "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' width='96pt' height='96pt' viewBox='0 0 96 96'>\n<rect width='96' height='96' fill='#f3eee3'/>\n{body}\n</svg>"
    )
}

/// A motif of 40 × 40 pt.
fn motif(body: &str) -> String {
    format!("<svg xmlns='http://www.w3.org/2000/svg' width='40pt' height='40pt' viewBox='0 0 40 40'>{body}</svg>")
}

/// A picture of so many pixels in one color, that says its resolution.
fn picture(side: u32, dpi: Option<[u32; 2]>, depth: png::BitDepth) -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = png::Encoder::new(&mut out, side, side);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(depth);
    encoder.set_source_srgb(png::SrgbRenderingIntent::RelativeColorimetric);
    // To the nearest whole number.
    let metres = |dpi: u32| (dpi * 10_000 + 127) / 254;
    let dims = dpi.map(|[x, y]| png::PixelDimensions { xppu: metres(x), yppu: metres(y), unit: png::Unit::Meter });
    encoder.set_pixel_dims(dims);
    let bytes = if depth == png::BitDepth::Sixteen { 6 } else { 3 };
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&vec![90; side as usize * side as usize * bytes]).unwrap();
    writer.finish().unwrap();
    out
}

#[test]
fn pixels_are_counted_against_the_size_that_is_asked() {
    let shop = Shop::new();
    shop.write("plain.png", picture(300, Some([150, 150]), png::BitDepth::Eight));
    assert_eq!(codes(&shop, &["plain.png"]), [""; 0]);
    assert_eq!(codes(&shop, &["plain.png", "--size", "2in"]), [""; 0]);
    let found = only(&shop, &["plain.png", "--size", "3in"], "few-pixels");
    assert_eq!(found["message"], "300 px on 3 in across are 100.0 an inch; the goods want 150");
    assert_eq!(
        found["remedy"],
        "make it again with at least 450 px across, or print it at most 2.00 in wide; more pixels made from these do not help"
    );
    // Paper wants more; so does whoever says so.
    let paper = only(&shop, &["plain.png", "--goods", "paper"], "few-pixels");
    assert_eq!(paper["message"], "300 px on 2 in across are 150.0 an inch; the goods want 300");
    assert_eq!(codes(&shop, &["plain.png", "--goods", "paper", "--ppi", "150"]), [""; 0]);
    assert_eq!(codes(&shop, &["plain.png", "--ppi", "151"]), ["few-pixels"]);
    // In another shape.
    let found = findings(&shop, &["plain.png", "--size", "1x2in"]);
    assert_eq!(found[0]["code"], "unequal-resolution");
    assert_eq!(
        found[0]["message"],
        "printed at 1.000 × 2.000 in it would have 300.00 px an inch across and 150.00 down: motifs print squeezed"
    );
    assert_eq!(found[0]["remedy"], "print it 1.000 × 1.000 in, in its own shape");
}

#[test]
fn files_are_judged_by_what_they_say_of_themselves() {
    let shop = Shop::new();
    let write = |name: &str, dpi, depth| shop.write(name, picture(300, dpi, depth));
    write("silent.png", None, png::BitDepth::Eight);
    write("squeezed.png", Some([150, 200]), png::BitDepth::Eight);
    write("odd.png", Some([150, 150]), png::BitDepth::Eight);
    write("fine.png", Some([150, 150]), png::BitDepth::Sixteen);
    assert_eq!(codes(&shop, &["silent.png"]), ["no-resolution"]);
    assert_eq!(codes(&shop, &["squeezed.png"]), ["unequal-resolution"]);
    let found = only(&shop, &["fine.png"], "sixteen-bits");
    assert_eq!(found["message"], "the file has 16 bits of each channel; judged are the upper eight");
    assert_eq!(found["severity"], "note");
    let found = only(&shop, &["odd.png", "--max-bytes", "0.1kB"], "large-file");
    let bytes = std::fs::metadata(shop.path("odd.png")).unwrap().len();
    assert_eq!(found["message"], format!("the file has {bytes} bytes; the most is 100"));
    assert_eq!(codes(&shop, &["odd.png", "--max-bytes", &bytes.to_string()]), [""; 0]);
    // Asked for what pixels don't have.
    for asked in ["--line", "--gap"] {
        let found = only(&shop, &["odd.png", asked, "1pt"], "not-measured");
        assert!(found["message"].as_str().unwrap().starts_with("a picture has no outlines"), "{found}");
    }
}

#[test]
fn thin_lines_have_their_width_and_their_place() {
    let shop = Shop::new();
    shop.write("thin.svg", page("<path d='M24 48h48' stroke='#124' stroke-width='.1'/>"));
    shop.write("good.svg", page("<path d='M24 48h48' stroke='#124' stroke-width='.25'/>"));
    shop.write("sliver.svg", page("<path d='M24 48h48v.2h-48z' fill='#124'/>"));
    assert_eq!(codes(&shop, &["good.svg"]), [""; 0]);
    let found = only(&shop, &["thin.svg"], "thin-line");
    assert_eq!(found["message"], "thin: a line 0.1pt (0.035mm) thin; the limit is 0.25pt (0.088mm)");
    assert_eq!(found["remedy"], "make it 2.5 times as thick, or the motif as much larger");
    assert_eq!((&found["motif"], &found["severity"]), (&json!("thin"), &json!("warning")));
    // 24 pt are a third of an inch, at 150 dpi 50 px.
    assert_eq!(
        [&found["x"], &found["y"], &found["width"], &found["height"]].map(|n| n.as_u64()),
        [50, 99, 100, 2].map(Some)
    );
    assert_eq!(found["in"], json!({ "x": 0.3333, "y": 0.66, "width": 0.6667, "height": 0.0133 }));
    assert_eq!(found["mm"]["width"], 16.9333);
    let found = only(&shop, &["sliver.svg"], "thin-line");
    assert_eq!(found["message"], "sliver: a line 0.2pt (0.071mm) thin; the limit is 0.25pt (0.088mm)");
    // Another limit, another size.
    assert_eq!(codes(&shop, &["good.svg", "--line", "0.1mm"]), ["thin-line"]);
    assert_eq!(codes(&shop, &["thin.svg", "--line", "0.1pt"]), [""; 0]);
    assert_eq!(codes(&shop, &["thin.svg", "--size", "4in"]), [""; 0]);
    assert_eq!(codes(&shop, &["good.svg", "--size", "1in"]), ["thin-line"]);
}

#[test]
fn narrow_gaps_are_found_in_a_drawing_and_between_the_motifs_of_a_design() {
    let shop = Shop::new();
    let bars = |gap: f64| page(&format!("<path d='M20 20h20v40h-20z'/><path d='M{} 20h20v40h-20z'/>", 40.0 + gap));
    shop.write("near.svg", bars(0.1));
    shop.write("apart.svg", bars(0.3));
    shop.write("touching.svg", bars(0.0));
    let found = only(&shop, &["near.svg"], "narrow-gap");
    assert_eq!(found["message"], "ground 0.1pt (0.035mm) narrow between edges; the limit is 0.25pt (0.088mm)");
    assert_eq!([&found["x"], &found["y"], &found["height"]].map(|n| n.as_u64()), [83, 41, 84].map(Some));
    for clean in ["apart.svg", "touching.svg"] {
        assert_eq!(codes(&shop, &[clean]), [""; 0], "{clean}");
    }
    assert_eq!(codes(&shop, &["apart.svg", "--gap", "0.4pt"]), ["narrow-gap"]);
    // A bar that reaches from near one edge of its block to near the other meets its own copies.
    shop.write("bar.svg", motif("<path d='M0 10h40v20h-40z' fill='#124'/>"));
    let design = |block: &str| {
        format!(
            "ground = \"linen\"\n[repeat]\nlayout = \"straight\"\nblock = \"{block}\"\n[[motif]]\nfile = \"bar.svg\"\nat = [\"10%\", \"50%\"]\n[[deliver]]\ndpi = 1440\n"
        )
    };
    shop.write("near.toml", design("40.1pt"));
    shop.write("apart.toml", design("40.5pt"));
    let found = only(&shop, &["near.toml"], "narrow-gap");
    assert_eq!(found["message"], "ground 0.1pt (0.035mm) narrow between edges; the limit is 0.25pt (0.088mm)");
    assert_eq!(codes(&shop, &["apart.toml"]), [""; 0]);
}

#[test]
fn pictures_are_held_against_the_size_at_which_they_lie() {
    let shop = Shop::new();
    let data = base64(&picture(60, None, png::BitDepth::Eight));
    let image = |side: u32| {
        page(&format!("<image x='20' y='20' width='{side}' height='{side}' href='data:image/png;base64,{data}'/>"))
    };
    shop.write("coarse.svg", image(36));
    shop.write("sharp.svg", image(28));
    let found = only(&shop, &["coarse.svg"], "coarse-picture");
    assert_eq!(
        found["message"],
        "coarse: a picture of 60 × 60 px lies there with 120.0 pixels an inch; the goods want 150"
    );
    assert_eq!(found["remedy"], "put a picture of 75 × 75 px in its place, or place it at most 80 % as large");
    assert_eq!((&found["line"], &found["x"]), (&json!(3), &json!(41)));
    assert_eq!(codes(&shop, &["sharp.svg"]), [""; 0]);
    // A picture that is a motif, twice in a design: it counts where it is largest.
    shop.write("shell.png", picture(150, None, png::BitDepth::Eight));
    let design = |width: &str| {
        format!(
            "ground = \"linen\"\n[repeat]\nlayout = \"straight\"\nblock = \"4in\"\n[[motif]]\nfile = \"shell.png\"\nwidth = \"0.5in\"\nat = [\"20%\", \"20%\"]\n[[motif]]\nfile = \"shell.png\"\nwidth = \"{width}\"\nat = [\"60%\", \"60%\"]\n[[deliver]]\ndpi = 150\n"
        )
    };
    shop.write("large.toml", design("1.5in"));
    shop.write("small.toml", design("1in"));
    let found = only(&shop, &["large.toml"], "coarse-picture");
    assert_eq!(
        found["message"],
        "shell: a picture of 150 × 150 px lies there with 100.0 pixels an inch; the goods want 150"
    );
    assert_eq!((&found["x"], &found["width"], &found["line"]), (&json!(247), &json!(226), &Value::Null));
    assert_eq!(codes(&shop, &["small.toml"]), [""; 0]);
}

const DESIGN: &str = "ground = \"linen\"\n[repeat]\nlayout = \"straight\"\nblock = \"60pt\"\n[[motif]]\nfile = \"rope.svg\"\n[[deliver]]\ndpi = 150\n";

/// A design with a rope that is too thin, and these lines before it.
fn rope(lines: &str) -> Shop {
    let shop = Shop::new();
    shop.write("rope.svg", motif("<path d='M5 20h30' stroke='#124' stroke-width='.2'/>"));
    shop.write("rope.toml", format!("{lines}\n{DESIGN}"));
    shop
}

#[test]
fn a_design_has_limits_of_its_own_and_flags_go_before_them() {
    let found = only(&rope(""), &["rope.toml"], "thin-line");
    assert_eq!(found["message"], "rope: a line 0.2pt (0.071mm) thin; the limit is 0.25pt (0.088mm)");
    let limits = "check = { line = \"0.15pt\", ppi = 200, goods = \"paper\" }";
    assert_eq!(codes(&rope(limits), &["rope.toml"]), ["few-pixels"]);
    assert_eq!(codes(&rope(limits), &["rope.toml", "--line", "0.3pt", "--ppi", "100"]), ["thin-line"]);
    assert_eq!(codes(&rope(limits), &["rope.toml", "--goods", "cloth"]), [""; 0]);
    let found = only(&rope(limits), &["rope.toml"], "few-pixels");
    assert_eq!(found["message"], "125 px on 0.833 in across are 150.0 an inch; the goods want 200");
    assert_eq!(found["remedy"], "write dpi = 200 or more under [[deliver]]");
    // Vectors have no pixels.
    let shop = rope(limits);
    shop.write("rope.toml", format!("{limits}\n{DESIGN}as = [\"svg\"]\n"));
    assert_eq!(codes(&shop, &["rope.toml"]), [""; 0]);
}

#[test]
fn goods_may_need_a_ground() {
    let shop = rope("");
    shop.write("bare.toml", DESIGN.replace("ground = \"linen\"\n", ""));
    let check = |flags: &[&str]| only(&shop, &[&["bare.toml", "--line", "0.1pt"], flags].concat(), "transparent");
    assert_eq!(check(&[])["severity"], "note");
    assert_eq!(check(&["--opaque"])["severity"], "warning");
    assert_eq!(check(&["--opaque"])["remedy"], "give it a ground; these goods need one");
    assert_eq!(codes(&shop, &["rope.toml", "--opaque", "--line", "0.1pt"]), [""; 0]);
}

#[test]
fn a_finding_is_accepted_with_a_reason() {
    let accept = "[[accept]]\ncode = \"thin-line\"\nwhy = \"the rigging is meant to be faint\"\n";
    let shop = rope("");
    shop.write("rope.toml", format!("{DESIGN}{accept}"));
    let found = only(&shop, &["rope.toml"], "thin-line");
    assert_eq!(
        (&found["accepted"], &found["severity"]),
        (&json!("the rigging is meant to be faint"), &json!("warning"))
    );
    let words = shop.done(&["check", "rope.toml"]);
    assert!(
        words.contains(
            "
  accepted    rope: a line 0.2pt (0.071mm) thin; the limit is 0.25pt (0.088mm) (thin-line)
              at x 31, y 62 px (0.21 in, 0.41 in), 63 × 1 px
              accepted: the rigging is meant to be faint
"
        ),
        "{words}"
    );
    // One that meets nothing is said.
    let found = only(&shop, &["rope.toml", "--line", "0.1pt"], "unused-accept");
    assert_eq!(found["message"], "the design accepts thin-line, and there is none");
}

#[test]
fn wrong_limits_and_acceptances_are_shown_in_their_place() {
    let shop = rope("");
    let said = |lines: &str, words: &str| {
        shop.write("rope.toml", format!("{DESIGN}{lines}"));
        shop.refuses(&["check", "rope.toml"], words);
    };
    let list: Vec<&str> = FINDINGS.iter().map(|kind| kind.code).collect();
    let (last, first) = list.split_last().unwrap();
    said(
        "[[accept]]\ncode = \"thin-lines\"\nwhy = \"meant\"\n",
        &format!(
            "error: code: \"thin-lines\" is not the code of a finding; write {} or {last}
  --> rope.toml:10:8
   |
10 | code = \"thin-lines\"
   |        ^^^^^^^^^^^^
   |
   = help: did you mean thin-line?",
            first.join(", ")
        ),
    );
    said(
        "[[accept]]\ncode = \"thin-line\"\n",
        "error: why is missing under this heading
 --> rope.toml:9:1
  |
9 | [[accept]]
  | ^^^^^^^^^^
  |
  = help: write for example why = \"the rigging is meant to be faint\"",
    );
    said(
        "[[accept]]\ncode = \"thin-line\"\nwhy = \" \"\n",
        "error: why: the reason is empty
  --> rope.toml:11:7
   |
11 | why = \" \"
   |       ^^^
   |
   = help: say in a few words why the finding is right as it is",
    );
    said(
        "[check]\nline = \"0.3px\"\n",
        "error: line: \"0.3px\" is in pixels, which have no true size
  --> rope.toml:10:8
   |
10 | line = \"0.3px\"
   |        ^^^^^^^
   |
   = help: write a length, for example 2.5in or 60mm",
    );
    said(
        "[check]\ngoods = \"clot\"\n",
        "error: goods: \"clot\" is not known; write cloth or paper
  --> rope.toml:10:9
   |
10 | goods = \"clot\"
   |         ^^^^^^
   |
   = help: did you mean cloth?",
    );
}

#[test]
fn wrong_flags_are_named() {
    let shop = rope("");
    shop.refuses(&["check", "rope.svg", "--line", "0"], "error: --line: \"0\" has no unit; write 0mm, 0cm or 0in");
    shop.refuses(
        &["check", "rope.svg", "--ppi", "many"],
        "error: --ppi: \"many\" is not a resolution; write for example 150, 300dpi or 10px/mm",
    );
    shop.refuses(
        &["check", "rope.svg", "--max-bytes", "huge"],
        "error: --max-bytes: \"huge\" is not a file size; write for example 25MB or 800kB",
    );
    shop.refuses(
        &["check", "rope.svg", "--size", "2400px"],
        "error: --size: \"2400px\" is in pixels; the size is wanted that they are printed at\n |\n = help: write for example --size 8in",
    );
    shop.refuses(
        &["check", "rope.toml", "--size", "8in"],
        "error: --size: goes with tiles; a design says itself how large it is\n |\n = help: judge rope.toml by itself, without --size",
    );
}

#[test]
fn the_readme_lists_every_code() {
    let readme = std::fs::read_to_string(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let rows =
        FINDINGS.iter().map(|k| format!("| `{}` | {} | {} | {} |\n", k.code, k.severity.name(), k.meaning, k.remedy));
    let rows: String = rows.collect();
    assert!(readme.contains(&rows), "the README's table of findings should be\n{rows}");
    use FaultKind as K;
    let kinds = [K::Slip, K::Doubled, K::Missing, K::SoftEdge, K::Hairline, K::Ground, K::Noise, K::Broken];
    for kind in kinds {
        assert!(readme.contains(&format!("`{}`", kind.code())), "the README does not name {}", kind.code());
    }
}

/// As data addresses have it (RFC 4648).
fn base64(bytes: &[u8]) -> String {
    const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let group = |three: &[u8]| {
        let all =
            three.iter().chain([0, 0].iter().skip(three.len() - 1)).fold(0_u32, |sum, b| sum << 8 | u32::from(*b));
        let letters = (0..4).map(|n| char::from(LETTERS[(all >> (18 - 6 * n)) as usize & 63]));
        letters.enumerate().map(|(n, letter)| if n > three.len() { '=' } else { letter }).collect::<String>()
    };
    bytes.chunks(3).map(group).collect()
}
