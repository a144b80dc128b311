//! `seamfast limits`: what a stranger's file may ask for.

use seamfast::limits::Limits;
use serde_json::json;

use super::args::LimitsArgs;
use super::say::{Outcome, line};

/// Prints every limit with its usual value and what it counts.
pub(super) fn run(args: &LimitsArgs) -> Outcome {
    let all: Vec<[String; 3]> =
        Limits::default().all().iter().map(|l| [l.name.into(), l.show(), l.meaning.into()]).collect();
    if args.json {
        let of = |[name, value, meaning]: &[String; 3]| json!({ "name": name, "value": value, "meaning": meaning });
        return line(&json!({ "limits": all.iter().map(of).collect::<Vec<_>>() }).to_string());
    }
    let widest = |column: usize| all.iter().map(|row| row[column].len()).max().unwrap_or(0);
    let (names, values) = (widest(0), widest(1));
    let rows = all.iter().map(|[name, value, meaning]| format!("{name:names$}  {value:>values$}  {meaning}"));
    line(&rows.collect::<Vec<_>>().join("\n"))
}
