//! Gradients and patterns are each one ink by name, also where many shapes, pieces or files share it.

use super::shop::Shop;

const SVG: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="20mm" height="20mm" viewBox="0 0 20 20">"#;
/// Squares of 1 mm at every second: a quarter of what they are laid on.
const NET: &str = r##"<pattern id="net" patternUnits="userSpaceOnUse" width="2" height="2"><path d="M0 0h1v1h-1z" fill="#c33"/></pattern>"##;
/// Two colors, from side to side of whatever is painted with it.
const SEA: &str =
    r##"<linearGradient id="sea"><stop stop-color="#36c"/><stop offset="1" stop-color="#fff"/></linearGradient>"##;

/// The inks of a cut and their areas in square mm.
fn inks(files: &[(&str, &str)], more: &[&str]) -> Vec<(String, f64)> {
    let shop = Shop::new();
    let mut words = vec!["cut"];
    for (file, inside) in files {
        shop.write(file, format!("{SVG}{inside}</svg>"));
        words.push(file);
    }
    words.extend(["--tile", "20mm", "--layout", "straight", "--mode", "inlay"]);
    words.extend(more);
    let facts = shop.json(&words);
    let layers = facts["sheets"][0]["layers"].as_array().unwrap().clone();
    let of =
        |layer: &serde_json::Value| (layer["name"].as_str().unwrap().to_owned(), layer["area_mm2"].as_f64().unwrap());
    layers.iter().map(of).collect()
}

fn one(inside: &str, more: &[&str]) -> Vec<(String, f64)> {
    inks(&[("tern.svg", inside)], more)
}

fn are(found: &[(String, f64)], want: &[(&str, f64)]) {
    let close = |(a, b): (&(String, f64), &(&str, f64))| a.0 == b.0 && (a.1 - b.1).abs() < 1e-3;
    assert!(found.len() == want.len() && found.iter().zip(want).all(close), "{found:?}, not {want:?}");
}

#[test]
fn a_pattern_is_one_ink_or_its_shapes() {
    let fill = format!(r##"{NET}<path d="M4 4h10v10h-10z" fill="url(#net)"/><path d="M4 4h5v5h-5z" fill="#36c"/>"##);
    are(&one(&fill, &[]), &[("pattern net", 75.0), ("3366cc", 25.0)]);
    // Of 25 squares 9 lie under the blue one.
    are(&one(&fill, &["--patterns", "shapes"]), &[("cc3333", 16.0), ("3366cc", 25.0)]);
    let stroke = format!(r#"{NET}<path d="M4 5h10" stroke="url(#net)" stroke-width="2"/>"#);
    are(&one(&stroke, &["--patterns", "ink"]), &[("pattern net", 20.0)]);
    are(&one(&stroke, &["--patterns", "shapes"]), &[("cc3333", 5.0)]);
    // A ring under the even-odd rule, within a clip that leaves its left half.
    let ring = format!(
        r#"{NET}<clipPath id="c"><path d="M0 0h10v20h-10z"/></clipPath><path clip-path="url(#c)" fill-rule="evenodd" d="M2 2h16v16h-16z M6 6h8v8h-8z" fill="url(#net)"/>"#
    );
    are(&one(&ring, &[]), &[("pattern net", 96.0)]);
}

#[test]
fn a_pattern_in_a_pattern_is_the_outer_one() {
    let weave = format!(
        r#"{NET}<pattern id="weave" patternUnits="userSpaceOnUse" width="4" height="4"><path d="M0 0h4v2h-4z" fill="url(#net)"/></pattern><path d="M4 4h8v8h-8z" fill="url(#weave)"/>"#
    );
    are(&one(&weave, &[]), &[("pattern weave", 64.0)]);
    are(&one(&weave, &["--patterns", "shapes"]), &[("cc3333", 8.0)]);
}

#[test]
fn shapes_that_share_a_paint_share_its_name() {
    let dots = r##"<pattern id="dots" width="0.5" height="0.5"><circle cx="1" cy="1" r="1"/></pattern>"##;
    let shapes = |paint: &str| -> String {
        [2, 7, 12].map(|x| format!(r#"<path d="M{x} 2h4v{x}h-4z" fill="url(#{paint})"/>"#)).concat()
    };
    are(&one(&format!("{SEA}{}", shapes("sea")), &[]), &[("gradient sea", 84.0)]);
    are(&one(&format!("{dots}{}", shapes("dots")), &[]), &[("pattern dots", 84.0)]);
    // A drawing with patterns is written anew, its gradients keep their names.
    let both = format!(r#"{SEA}{NET}{}<path d="M2 16h16v2h-16z" fill="url(#net)"/>"#, shapes("sea"));
    are(&one(&both, &[]), &[("gradient sea", 84.0), ("pattern net", 32.0)]);
    // Two that look the same are two.
    let twins = format!(
        r#"{SEA}{}<path d="M2 2h4v4h-4z" fill="url(#sea)"/><path d="M2 8h4v4h-4z" fill="url(#sky)"/>"#,
        SEA.replace("sea", "sky")
    );
    are(&one(&twins, &[]), &[("gradient sea", 16.0), ("gradient sky", 16.0)]);
}

#[test]
fn a_drawing_s_own_ids_are_no_patterns() {
    let own = r#"<clipPath id="c"><path d="M0 0h10v10h-10z"/></clipPath><g id="laid-1" clip-path="url(#c)"><path d="M2 2h4v4h-4z"/></g><g id="laid-2" clip-path="url(#c)"><path d="M2 6h4v4h-4z"/></g>"#;
    are(
        &one(&format!(r#"{NET}{own}<path d="M12 2h4v4h-4z" fill="url(#net)"/>"#), &[]),
        &[("000000", 32.0), ("pattern net", 16.0)],
    );
}

#[test]
fn in_a_mask_a_pattern_lets_through_what_it_shows() {
    let mask = format!(
        r#"{}<mask id="m"><path d="M4 4h10v10h-10z" fill="url(#net)"/></mask><path d="M2 2h16v16h-16z" fill="url(#net)" mask="url(#m)"/>"#,
        NET.replace("#c33", "#fff")
    );
    are(&one(&mask, &[]), &[("pattern net", 25.0)]);
}

#[test]
fn one_name_in_several_files_is_several_inks() {
    let square = format!(r#"{SVG}{SEA}<path d="M2 2h4v4h-4z" fill="url(#sea)"/></svg>"#);
    let shop = Shop::new();
    let mut design = String::from("[repeat]\nlayout = \"straight\"\nblock = \"60mm\"\n");
    for (number, file) in ["tern.svg", "kelp.svg", "old/kelp.svg"].iter().enumerate() {
        shop.write(file, &square);
        for x in [10, 40] {
            let y = 10 + 20 * number;
            design += &format!("[[motif]]\nfile = \"{file}\"\nat = [\"{x}mm\", \"{y}mm\"]\n");
        }
    }
    shop.write("shore.toml", design);
    let facts = shop.json(&["cut", "shore.toml", "--mode", "stacked"]);
    let layers = facts["sheets"][0]["layers"].as_array().unwrap();
    let names: Vec<&str> = layers.iter().map(|layer| layer["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["gradient sea of tern", "gradient sea of kelp", "gradient sea of kelp 2"]);
    assert!(layers.iter().all(|layer| layer["area_mm2"].as_f64() == Some(32.0)), "{layers:?}");
}

#[test]
fn on_a_page_by_hand_all_pieces_share_an_ink() {
    let shop = Shop::new();
    let page = [3, 11].map(|x| format!(r#"<path d="M{x} 5h4v4h-4z" fill="url(#sea)"/>"#)).concat();
    shop.write("page.svg", format!("{SVG}{SEA}{page}</svg>"));
    let facts = shop.json(&["cut", "page.svg", "--croquis", "--mode", "stacked"]);
    let layers = facts["sheets"][0]["layers"].as_array().unwrap();
    assert_eq!((layers.len(), &layers[0]["name"]), (1, &"gradient sea".into()));
    assert_eq!(layers[0]["area_mm2"].as_f64(), Some(32.0));
}

#[test]
fn no_other_word_than_ink_and_shapes() {
    Shop::new().refuses(
        &["cut", "buoy.svg", "--tile", "20mm", "--patterns", "dots"],
        "error: --patterns: \"dots\" is not known\n |\n = help: write ink or shapes",
    );
}
