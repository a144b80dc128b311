//! Names that several layers would have alike once they are made plain, told apart by a number.

use std::collections::{HashMap, HashSet};

/// The same names, none twice: the first stays, the next gets what `numbered` makes of it and 2, 3 …
pub(super) fn apart(names: impl IntoIterator<Item = String>, numbered: impl Fn(&str, usize) -> String) -> Vec<String> {
    let (mut taken, mut next): (HashSet<String>, HashMap<String, usize>) = Default::default();
    let one = |name: String| {
        let mut own = name.clone();
        while !taken.insert(own.clone()) {
            let number = next.entry(name.clone()).or_insert(1);
            *number += 1;
            own = numbered(&name, *number);
        }
        own
    };
    names.into_iter().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn none_twice_though_one_has_a_number_already() {
        let names = ["SEA", "SEA_2", "SEA", "SEA", "SKY", "SEA_2"].map(String::from);
        let found = apart(names, |name, number| format!("{name}_{number}"));
        assert_eq!(found, ["SEA", "SEA_2", "SEA_3", "SEA_4", "SKY", "SEA_2_2"]);
    }
}
