//! The desk keeps what it was given: changes, undoing, editors, files that are gone.

use super::*;

const TEXT: &str = "name = \"shore\" # by hand\n";

fn desk() -> (tempfile::TempDir, Desk) {
    let folder = tempfile::tempdir().unwrap();
    let desk = Desk::open(folder.path().join("shore.toml"), TEXT.into()).unwrap();
    (folder, desk)
}

fn ground(color: &str) -> Vec<Edit> {
    let json = format!(r#"[{{"set":{{"section":{{"name":""}},"values":{{"ground":"{color}"}}}}}}]"#);
    serde_json::from_str(&json).unwrap()
}

fn change(desk: &mut Desk, color: &str, together: Option<&str>) {
    let text = desk.proposed(desk.number(), &ground(color)).unwrap();
    desk.put(desk.number(), text, together).unwrap();
}

fn file(desk: &Desk) -> String {
    std::fs::read_to_string(desk.file()).unwrap()
}

fn look_twice(desk: &mut Desk) {
    assert!(!desk.look(), "it may be half written");
    assert!(desk.look());
}

#[test]
fn an_editor_that_empties_the_file_first_leaves_no_empty_design() {
    let (_folder, mut desk) = desk();
    change(&mut desk, "linen", None);
    std::fs::write(desk.file(), "").unwrap();
    assert!(!desk.look());
    std::fs::write(desk.file(), "name = \"theirs\"\n").unwrap();
    look_twice(&mut desk);
    assert_eq!((desk.text(), desk.steps()), ("name = \"theirs\"\n", [2, 0]));
}

#[test]
fn changes_are_written_and_undone_one_by_one_or_together() {
    let (_folder, mut desk) = desk();
    change(&mut desk, "linen", None);
    change(&mut desk, "white", Some("ground"));
    change(&mut desk, "black", Some("ground"));
    assert!(file(&desk).contains("black") && file(&desk).contains("# by hand"));
    assert_eq!(desk.steps(), [2, 0]);
    desk.step(desk.number(), Way::Undo).unwrap();
    assert!(file(&desk).contains("linen"));
    desk.step(desk.number(), Way::Undo).unwrap();
    assert_eq!(file(&desk), TEXT);
    assert!(matches!(desk.step(desk.number(), Way::Undo), Err(Refusal::Nothing(_))));
    desk.step(desk.number(), Way::Redo).unwrap();
    desk.step(desk.number(), Way::Redo).unwrap();
    assert!(file(&desk).contains("black"));
}

#[test]
fn what_an_editor_wrote_is_not_written_over() {
    let (_folder, mut desk) = desk();
    change(&mut desk, "linen", None);
    let seen = desk.number();
    let mine = desk.proposed(seen, &ground("black")).unwrap();
    std::fs::write(desk.file(), "name = \"theirs\"\n").unwrap();
    assert!(matches!(desk.put(seen, mine, None), Err(Refusal::Old)));
    look_twice(&mut desk);
    assert_eq!((desk.text(), &*file(&desk)), ("name = \"theirs\"\n", "name = \"theirs\"\n"));
    // What was here is a step back.
    desk.step(desk.number(), Way::Undo).unwrap();
    assert!(file(&desk).contains("linen"));
    assert!(matches!(desk.proposed(seen, &ground("black")), Err(Refusal::Old)));
}

#[test]
fn a_change_names_no_file_outside_the_folder() {
    let (_folder, mut desk) = desk();
    let motif = |number: usize, file: &str| -> Vec<Edit> {
        let section = format!(r#"{{"name":"motif","number":{number}}}"#);
        let json = format!(r#"[{{"set":{{"section":{section},"values":{{"file":"{file}"}}}}}}]"#);
        serde_json::from_str(&json).unwrap()
    };
    for file in ["/etc/passwd", "../away.svg", "motifs/../../away.svg"] {
        let refused = desk.proposed(desk.number(), &motif(0, file)).unwrap_err().to_string();
        assert!(refused.contains("lies outside the design's folder"), "{refused}");
    }
    desk.proposed(desk.number(), &motif(0, "motifs/kelp.svg")).unwrap();
    // What the person's own file names may be laid once more.
    std::fs::write(desk.file(), "[[motif]]\nfile = \"../kelp.svg\"\n").unwrap();
    look_twice(&mut desk);
    desk.proposed(desk.number(), &motif(1, "../kelp.svg")).unwrap();
}

#[test]
fn a_file_that_is_gone_is_written_anew() {
    let (_folder, mut desk) = desk();
    change(&mut desk, "linen", None);
    std::fs::remove_file(desk.file()).unwrap();
    look_twice(&mut desk);
    assert!(!desk.is_kept() && desk.text().contains("linen"));
    change(&mut desk, "black", None);
    assert!(file(&desk).contains("black"));
}

#[test]
fn designs_beside_it_are_named_and_nothing_else() {
    let (folder, desk) = desk();
    let put = |name: &str, text: &str| std::fs::write(folder.path().join(name), text).unwrap();
    put("wrap.toml", "[[motif]]\nfile = \"kelp.svg\"\n");
    put("quay.toml", "croquis = \"quay.svg\"\n");
    put("shore.toml", "[[motif]]\nfile = \"kelp.svg\"\n");
    put("Cargo.toml", "[package]\nname = \"dory\"\n");
    put("begun.toml", TEXT);
    assert_eq!(desk.neighbors(), ["quay.toml", "wrap.toml"]);
}
