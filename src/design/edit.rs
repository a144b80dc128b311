//! Changes to a design file's text: everything else stays as the person wrote it.

use serde::Deserialize;
use serde_json::{Map, Value as Json};
use toml_edit::{Array, ArrayOfTables, DocumentMut, Item, Table, TableLike, Value};

use super::error::DesignError;
use super::writing::with_ends_of;

/// One change to a design file.
#[derive(Clone, Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Edit {
    /// Sets the values of a section; a `null` takes one out. A section that is missing is added.
    Set {
        /// The section.
        section: Section,
        /// Its new values by their names: texts, numbers, booleans and lists of them.
        values: Map<String, Json>,
    },
    /// Takes a section out.
    Remove {
        /// The section.
        section: Section,
    },
    /// Gives a numbered section another number; those between move up or down.
    Move {
        /// The section.
        section: Section,
        /// Its new number, from 0.
        to: usize,
    },
}

/// A section of a design file: `""` is its head, `"repeat"` is `[repeat]`, and `"motif"` or `"toss.motif"` with a
/// number is one of the `[[motif]]` or `[[toss.motif]]`, from 0.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Section {
    /// Its name.
    pub name: String,
    /// Which of its name, where there may be several.
    pub number: Option<usize>,
}

/// The text with these changes.
///
/// # Errors
/// No TOML, no such section, sections that stand in one list, and values that TOML can't have.
pub fn edited(text: &str, edits: &[Edit]) -> Result<String, DesignError> {
    let failed = |e: toml_edit::TomlError| DesignError::new(format!("this is no valid TOML: {}", e.message()));
    let mut doc: DocumentMut = text.parse().map_err(failed)?;
    for edit in edits {
        match edit {
            Edit::Set { section, values } => set(table(&mut doc, section)?, values)?,
            Edit::Remove { section } => remove(&mut doc, section)?,
            Edit::Move { section, to } => reorder(&mut doc, section, *to)?,
        }
    }
    Ok(with_ends_of(text, doc.to_string()))
}

fn no_such(Section { name, number }: &Section) -> DesignError {
    let number = number.map_or_else(String::new, |n| format!(" {}", n + 1));
    DesignError::new(format!("the design has no [{name}]{number}"))
}

/// The table that a section stands in, and the section's own name there.
fn holder<'d, 'n>(doc: &'d mut DocumentMut, name: &'n str) -> Result<(&'d mut dyn TableLike, &'n str), DesignError> {
    let Some((outer, own)) = name.rsplit_once('.') else { return Ok((doc.as_table_mut(), name)) };
    let section = Section { name: outer.into(), number: None };
    Ok((table(doc, &section)?, own))
}

/// The sections of one name that are numbered.
fn many<'d>(doc: &'d mut DocumentMut, name: &str) -> Result<&'d mut ArrayOfTables, DesignError> {
    let (holder, own) = holder(doc, name)?;
    let item = holder.entry(own).or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
    item.as_array_of_tables_mut().ok_or_else(|| {
        let e = DesignError::new(format!("the sections of {name} stand in one list, which can't be changed here"));
        e.with_hint(format!("write each under a heading of its own, [[{name}]]"))
    })
}

/// A section, which is added if it is the next of its name.
fn table<'d>(doc: &'d mut DocumentMut, section: &Section) -> Result<&'d mut dyn TableLike, DesignError> {
    if section.name.is_empty() {
        return Ok(doc.as_table_mut());
    }
    let Some(number) = section.number else {
        let (holder, own) = holder(doc, &section.name)?;
        let mut empty = Table::new();
        empty.decor_mut().set_prefix("\n");
        let item = holder.entry(own).or_insert(Item::Table(empty));
        return item.as_table_like_mut().ok_or_else(|| no_such(section));
    };
    let all = many(doc, &section.name)?;
    if number == all.len() {
        let mut empty = Table::new();
        empty.decor_mut().set_prefix("\n");
        // Behind the last of its name, not behind all that follows.
        empty.set_position(all.iter().last().and_then(Table::position));
        all.push(empty);
    }
    all.get_mut(number).map(|table| table as &mut dyn TableLike).ok_or_else(|| no_such(section))
}

fn set(table: &mut dyn TableLike, values: &Map<String, Json>) -> Result<(), DesignError> {
    for (name, json) in values {
        if json.is_null() {
            table.remove(name);
            continue;
        }
        let mut new = value(json).ok_or_else(|| DesignError::new(format!("{name}: {json} is no value of a design")))?;
        match table.get_mut(name).and_then(Item::as_value_mut) {
            // The old value's spaces and comment stay.
            Some(old) => {
                *new.decor_mut() = old.decor().clone();
                *old = new;
            }
            None => drop(table.insert(name, Item::Value(new))),
        }
    }
    Ok(())
}

/// A whole number is written as one.
fn value(json: &Json) -> Option<Value> {
    Some(match json {
        Json::String(text) => text.into(),
        Json::Bool(yes) => (*yes).into(),
        Json::Number(number) => match (number.as_i64(), number.as_f64()) {
            (Some(whole), _) => whole.into(),
            #[allow(clippy::cast_possible_truncation, reason = "it is a whole number of at most six digits")]
            (None, Some(n)) if n.fract() == 0.0 && n.abs() < 1e6 => (n as i64).into(),
            (None, n) => n?.into(),
        },
        Json::Array(list) => Value::Array(list.iter().map(value).collect::<Option<Array>>()?),
        Json::Null | Json::Object(_) => return None,
    })
}

fn remove(doc: &mut DocumentMut, section: &Section) -> Result<(), DesignError> {
    let all_gone = match section.number {
        None => true,
        Some(number) => {
            let all = many(doc, &section.name)?;
            if number >= all.len() {
                return Err(no_such(section));
            }
            all.remove(number);
            all.is_empty()
        }
    };
    if all_gone {
        let (holder, own) = holder(doc, &section.name)?;
        holder.remove(own).ok_or_else(|| no_such(section))?;
    }
    Ok(())
}

fn reorder(doc: &mut DocumentMut, section: &Section, to: usize) -> Result<(), DesignError> {
    let all = many(doc, &section.name)?;
    let from = section.number.filter(|from| *from < all.len() && to < all.len()).ok_or_else(|| no_such(section))?;
    let mut tables: Vec<Table> = all.iter().cloned().collect();
    let positions: Vec<_> = tables.iter().map(Table::position).collect();
    let moved = tables.remove(from);
    tables.insert(to, moved);
    all.clear();
    for (mut table, position) in tables.into_iter().zip(positions) {
        table.set_position(position);
        all.push(table);
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "# the shore\nname = \"shore\" # its name\n\n[repeat]\nlayout = \"brick\"\n\n# first\n[[motif]]\nfile = \"a.svg\"\nturn = 5   # a little\n\n# second\n[[motif]]\nfile = \"b.svg\"\n\n[[deliver]]\ndpi = 150\n";

    fn after(json: &str) -> String {
        edited(TEXT, &serde_json::from_str::<Vec<Edit>>(json).expect("edits")).expect("edited")
    }

    #[test]
    fn comments_stay_and_only_what_is_named_changes() {
        let set = r#"[{"set":{"section":{"name":"motif","number":0},"values":{"turn":15.0,"at":["50%","2in"]}}}]"#;
        let want = TEXT.replace("turn = 5   # a little\n", "turn = 15   # a little\nat = [\"50%\", \"2in\"]\n");
        assert_eq!(after(set), want);
        let out = r#"[{"set":{"section":{"name":"motif","number":0},"values":{"turn":null}}}]"#;
        assert_eq!(after(out), TEXT.replace("turn = 5   # a little\n", ""));
        let head = r##"[{"set":{"section":{"name":""},"values":{"ground":"#f3eee3"}}}]"##;
        assert_eq!(after(head), TEXT.replace("# its name\n", "# its name\nground = \"#f3eee3\"\n"));
    }

    #[test]
    fn sections_come_go_and_change_places() {
        let add = r#"[{"set":{"section":{"name":"motif","number":2},"values":{"file":"c.svg"}}}]"#;
        assert_eq!(after(add), TEXT.replace("\"b.svg\"\n", "\"b.svg\"\n\n[[motif]]\nfile = \"c.svg\"\n"));
        let remove = r#"[{"remove":{"section":{"name":"motif","number":1}}}]"#;
        assert_eq!(after(remove), TEXT.replace("\n# second\n[[motif]]\nfile = \"b.svg\"\n", ""));
        let toss = r#"[{"set":{"section":{"name":"toss"},"values":{"gap":"3mm"}}},{"set":{"section":{"name":"toss.motif","number":0},"values":{"file":"a.svg"}}}]"#;
        assert_eq!(after(toss), format!("{TEXT}\n[toss]\ngap = \"3mm\"\n\n[[toss.motif]]\nfile = \"a.svg\"\n"));
        let swap = r#"[{"move":{"section":{"name":"motif","number":1},"to":0}}]"#;
        let text = after(swap);
        let at = |what: &str| text.find(what).expect(what);
        assert!(
            at("# second") < at("b.svg") && at("b.svg") < at("# first") && at("a.svg") < at("[[deliver]]"),
            "{text}"
        );
    }

    #[test]
    fn what_can_not_be_is_said() {
        let refused = |text: &str, json: &str| {
            edited(text, &serde_json::from_str::<Vec<Edit>>(json).expect("edits")).expect_err("refused").to_string()
        };
        let far = r#"[{"set":{"section":{"name":"motif","number":7},"values":{"turn":1}}}]"#;
        assert_eq!(refused(TEXT, far), "the design has no [motif] 8");
        let list = "motif = [{ file = \"a.svg\" }]\n";
        assert!(refused(list, far).contains("stand in one list"));
        let odd = r#"[{"set":{"section":{"name":""},"values":{"name":{"a":1}}}}]"#;
        assert!(refused(TEXT, odd).contains("is no value"));
    }
}
