use crate::common::motif;
use std::path::Path;
#[test]
#[ignore]
fn dump() {
    let ours = ["anchor", "buoy", "crab", "kelp", "limpet", "mussel", "starfish", "tern", "lighthouse", "dory", "rope-knot"];
    let icons = ["anchor", "fish", "sail-boat", "ferry", "lighthouse", "waves", "umbrella", "star", "leaf", "hook", "compass", "heart"];
    for (name, folder, names) in [("ours", "motifs", &ours[..]), ("icons", "target/mdi/node_modules/@mdi/svg/svg", &icons[..])] {
        let mut out = String::new();
        for n in names {
            let s = motif(Path::new(&format!("{folder}/{n}.svg")));
            println!("{n} {}", s.contours.iter().map(Vec::len).sum::<usize>());
            out += &format!("{}\n", s.slack);
            for c in &s.contours { out += &c.iter().map(|p| format!("{},{}", p[0], p[1])).collect::<Vec<_>>().join(" "); out.push('\n'); }
            out.push('\n');
        }
        std::fs::write(format!("target/mini/{name}.txt"), out).unwrap();
    }
}
