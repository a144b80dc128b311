//! Drawings that come in by being dropped on the cloth, and files that go out by being taken away.

use std::path::Path;

use seamfast::design::write_together;
use serde_json::{Value, json};

use super::bench::Ask;
use super::house::{House, Trouble, edits};
use super::server::{Reply, sent, told};
use super::shipped;

/// As large as this a motif may lie on a new design's block, in inches.
const ROOM: [f64; 2] = [2.5, 5.0];
/// What motifs may be called.
const ENDINGS: [&str; 8] = ["svg", "svgz", "png", "jpg", "jpeg", "tif", "tiff", "webp"];

/// Keeps a drawing beside the design, and lays it on the cloth: `name` is what its file is called, `shipped` one of ours
/// instead of bytes, and `edits` what then changes, with `"$FILE"` for its name. A drawing that can't be used is not kept.
pub(super) fn taken(house: &House, query: &str, bytes: &[u8]) -> Reply {
    let asked: Value = serde_json::from_str(&field(query, "json").unwrap_or_default())
        .map_err(|e| Trouble::Other(format!("this is no JSON: {e}")))?;
    let own =
        asked["shipped"].as_str().and_then(|name| Some((format!("{name}.svg"), shipped::drawing(name)?.as_bytes())));
    let (name, bytes) = match own {
        Some((name, svg)) => (name, svg),
        None => (plain(asked["name"].as_str().unwrap_or_default())?, bytes),
    };
    let folder = house.folder();
    let own_name = name.clone();
    let (name, is_new) = free(&folder, &name, bytes)?;
    if is_new {
        write_together(&folder, std::slice::from_ref(&name), &[], &(), |_, blank| blank.bytes(bytes))
            .map_err(|e| Trouble::Other(e.to_string()))?;
    }
    let laid = lay(house, &name, &asked).map_err(|trouble| called(trouble, &folder.join(&name), &own_name));
    if laid.is_err() && is_new {
        let _ = std::fs::remove_file(folder.join(&name));
    }
    laid?;
    told(&house.state())
}

/// The same trouble, with the file called what the person calls it: where it would have been kept there is none.
fn called(trouble: Trouble, path: &Path, name: &str) -> Trouble {
    let Trouble::Bench(mut said) = trouble else { return trouble };
    let shorter = said["what"].as_str().map(|what| what.replace(&*path.to_string_lossy(), name));
    if let Some(shorter) = shorter {
        said["what"] = shorter.into();
    }
    Trouble::Bench(said)
}

/// Measures the new drawing and changes the design.
fn lay(house: &House, name: &str, asked: &Value) -> Result<(), Trouble> {
    let most = asked["most"].as_array().map(|most| [&most[0], &most[1]].map(|side| side.as_f64().unwrap_or(2.0)));
    let width = width(house, name, most.unwrap_or(ROOM))?;
    let text = asked["edits"].to_string().replace("\"$WIDTH\"", &width.to_string());
    let filled = text.replace("\"$FILE\"", &Value::from(name).to_string());
    let changes: Value = serde_json::from_str(&filled).map_err(|e| Trouble::Other(e.to_string()))?;
    house.edit(asked["number"].as_u64().unwrap_or_else(|| house.number()), &edits(&changes)?, None)
}

/// The width that is written for a drawing: none where its own goes into so many inches across and down, and what fills
/// them where it does not, or says none.
fn width(house: &House, name: &str, [most_width, most_height]: [f64; 2]) -> Result<Value, Trouble> {
    let (size, _) = house.ask(&[], Ask::Measure { name: name.into() })?;
    let px = [&size["px"][0], &size["px"][1]].map(|side| side.as_f64().unwrap_or(1.0).max(1e-9));
    let fits = most_width.min(most_height * px[0] / px[1]);
    Ok(match size["in"][0].as_f64() {
        Some(own) if own <= fits => Value::Null,
        _ => format!("{}in", (fits * 100.0).floor().max(1.0) / 100.0).into(),
    })
}

/// Lays motifs on a new design, spread over the block.
pub(super) fn lay_all(house: &House, motifs: &[String]) -> Result<(), Trouble> {
    let mut changes = Vec::new();
    for (number, name) in motifs.iter().enumerate() {
        let place = |step: usize| format!("{}%", (50 + number * step) % 100);
        let section = json!({ "name": "motif", "number": number });
        let values = json!({ "file": name, "width": width(house, name, ROOM)?, "at": [place(23), place(31)] });
        changes.push(json!({ "set": { "section": section, "values": values } }));
    }
    if changes.is_empty() { Ok(()) } else { house.edit(house.number(), &edits(&Value::Array(changes))?, None) }
}

/// A name that is a file in the folder and nothing else.
fn plain(name: &str) -> Result<String, Trouble> {
    let refuse = |what: &str| Err(Trouble::Other(format!("{name:?}: {what}")));
    let stem = Path::new(name).file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let ending = Path::new(name).extension().map(|ending| ending.to_string_lossy().into_owned()).unwrap_or_default();
    if !ENDINGS.iter().any(|known| known.eq_ignore_ascii_case(&ending)) {
        return refuse("drop a drawing (SVG) or a picture (PNG, JPEG, TIFF, WebP)");
    }
    let bad = |c: char| c.is_control() || "/\\:*?\"<>|".contains(c);
    if stem.is_empty() || name.starts_with('.') || name.chars().any(bad) || name.len() > 120 {
        return refuse("this is no name for a file here; give it another");
    }
    Ok(name.to_owned())
}

/// The name, or one like it that is free; and whether nothing of these bytes lies there yet.
fn free(folder: &Path, name: &str, bytes: &[u8]) -> Result<(String, bool), Trouble> {
    let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
    for number in 1..1000 {
        let tried = if number == 1 { name.to_owned() } else { format!("{stem}-{number}.{ending}") };
        match std::fs::symlink_metadata(folder.join(&tried)) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok((tried, true)),
            Err(error) => return Err(Trouble::Other(format!("{tried}: {error}"))),
            Ok(there) if there.is_file() && there.len() == bytes.len() as u64 => {
                if std::fs::read(folder.join(&tried)).is_ok_and(|own| own == bytes) {
                    return Ok((tried, false));
                }
            }
            Ok(_) => {}
        }
    }
    Err(Trouble::Other(format!("{name}: there are a thousand of that name; give it another")))
}

/// One of the files that were made.
pub(super) fn made(house: &House, query: &str) -> Reply {
    let name = field(query, "name").unwrap_or_default();
    let gone = || Trouble::Other(format!("{name:?} was not made here"));
    let path = house.errands.made(&name).ok_or_else(gone)?;
    let bytes = std::fs::read(&path).map_err(|e| Trouble::Other(format!("{}: {e}", path.display())))?;
    Ok(sent("application/octet-stream", bytes))
}

/// One field of a query, decoded.
fn field(query: &str, name: &str) -> Option<String> {
    let found = query.split('&').find_map(|pair| pair.strip_prefix(name)?.strip_prefix('='))?;
    let mut bytes = Vec::with_capacity(found.len());
    let mut rest = found.bytes();
    while let Some(byte) = rest.next() {
        let hex = |digit: Option<u8>| digit.and_then(|d| char::from(d).to_digit(16)).and_then(|d| u8::try_from(d).ok());
        bytes.push(match byte {
            b'%' => hex(rest.next())? * 16 + hex(rest.next())?,
            b'+' => b' ',
            byte => byte,
        });
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_leads_nowhere_but_here() {
        for good in ["limpet.svg", "Herring gull, 2.PNG", "größe.tiff"] {
            assert_eq!(plain(good).unwrap(), good);
        }
        for bad in [
            "../limpet.svg",
            "/etc/limpet.svg",
            "a\\b.svg",
            "..svg",
            ".svg",
            "limpet.toml",
            "limpet",
            "a\0.svg",
            "c:x.svg",
            "",
        ] {
            assert!(plain(bad).is_err(), "{bad:?}");
        }
        assert!(plain(&format!("{}.svg", "a".repeat(200))).is_err());
    }

    #[test]
    fn a_name_that_is_taken_gets_a_number() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join("kelp.svg"), "one").unwrap();
        std::fs::create_dir(folder.path().join("kelp-2.svg")).unwrap();
        assert_eq!(free(folder.path(), "kelp.svg", b"one").unwrap(), ("kelp.svg".into(), false));
        assert_eq!(free(folder.path(), "kelp.svg", b"two").unwrap(), ("kelp-3.svg".into(), true));
        assert_eq!(free(folder.path(), "dory.svg", b"two").unwrap(), ("dory.svg".into(), true));
    }

    #[test]
    fn fields_are_decoded_or_none() {
        assert_eq!(field("name=a%20b+c%C3%A4&x=1", "name").as_deref(), Some("a b cä"));
        assert_eq!(field("name=%C3", "name"), None);
        assert_eq!(field("names=a", "name"), None);
    }
}
