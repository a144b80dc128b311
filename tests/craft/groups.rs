//! The plane and frieze groups against published tables: one lop-sided mark yields the
//! positions of the table, and the raster maps onto itself under every operator that pixels can bear.

use proptest::prelude::*;
use seamfast::repeat::{Lattice, Layout, Operator, PARTS, Placement, Repeat, Scheme, Shape, Spot, Symmetry};

use crate::common::{Picture, list, motifs, on_tile, painted, reference, text};

/// What `-x+y,x+1/2` makes of a point, worked out from its letters.
fn apply(triplet: &str, [x, y]: [f64; 2]) -> [f64; 2] {
    let parts: Vec<f64> = triplet
        .split(',')
        .map(|part| {
            let value = |term: &str| match term.trim_start_matches('-') {
                "x" => x,
                "y" => y,
                "1/2" => 0.5,
                other => panic!("{other} in {triplet}"),
            };
            let terms = part.replace('-', "+-");
            let terms = terms.split('+').filter(|term| !term.is_empty());
            terms.map(|term| if term.starts_with('-') { -value(term) } else { value(term) }).sum()
        })
        .collect();
    [parts[0], parts[1]]
}

/// From the axes of the table to shares of our block, and back: a hexagonal cell's axes meet at 120°, and
/// our block is the upright rectangle of two cells.
fn to_block(shape: Shape, [x, y]: [f64; 2]) -> [f64; 2] {
    if shape == Shape::Hexagonal { [x - y / 2.0, y / 2.0] } else { [x, y] }
}

fn from_block(shape: Shape, [x, y]: [f64; 2]) -> [f64; 2] {
    if shape == Shape::Hexagonal { [x + y, 2.0 * y] } else { [x, y] }
}

/// The nearest place on the lattice's cell, in 1/256 units.
fn home(lattice: &Lattice, spot: Spot) -> [i64; 2] {
    let row = spot.y().div_euclid(lattice.down() * PARTS);
    let x = spot.x() - row * lattice.shift() * PARTS;
    [x.rem_euclid(lattice.across() * PARTS), spot.y().rem_euclid(lattice.down() * PARTS)]
}

/// Whether two places are one, but for 1/256 unit of rounding.
fn same(lattice: &Lattice, a: Spot, b: Spot) -> bool {
    (-1..=1).any(|dx| (-1..=1).any(|dy| home(lattice, a) == home(lattice, Spot::from_parts(b.x() + dx, b.y() + dy))))
}

/// A block of the group, and a spot in general position as shares of it.
fn block(scheme: &Scheme, width: i64, height: i64) -> Repeat {
    on_tile(scheme, width, height)
}

fn spot(repeat: &Repeat, [x, y]: [f64; 2]) -> Spot {
    let part = |share: f64, side: i64| (share * side as f64 * PARTS as f64).round() as i64;
    Spot::from_parts(part(x, repeat.block[0]), part(y, repeat.block[1]))
}

/// Every place of the table is ours and every place of ours is the table's.
fn agrees(name: &str, operators: &[String], multiplicity: usize, at: [f64; 2]) -> Result<(), TestCaseError> {
    let group: Symmetry = name.parse().expect(name);
    let scheme = Scheme::new(None, Some(group), None).expect(name);
    let repeat = block(&scheme, 480, 720);
    let images: Vec<Spot> = repeat.images(spot(&repeat, at)).collect();
    prop_assert_eq!(images.len(), multiplicity, "{}: as many images as the table says", name);
    let inner = from_block(scheme.shape(), at);
    for operator in operators {
        let there = spot(&repeat, to_block(scheme.shape(), apply(operator, inner)));
        let found = images.iter().filter(|&&image| same(&repeat.lattice, there, image)).count();
        prop_assert_eq!(found, 1, "{}: {} at {:?}", name, operator, at);
    }
    for (i, &a) in images.iter().enumerate() {
        prop_assert!(
            images[i + 1..].iter().all(|&b| !same(&repeat.lattice, a, b)),
            "{}: two images in one place",
            name
        );
    }
    Ok(())
}

/// Spots that lie off every mirror and turning point of every group, by a hundredth of the block at least.
fn general() -> impl Strategy<Value = [f64; 2]> {
    let clear = |x: f64, y: f64| {
        let off = |value: f64| (value * 4.0 - (value * 4.0).round()).abs() > 0.04;
        let lines = [x, y, x + y, x - y, x + 3.0 * y, x - 3.0 * y, 3.0 * x + y, 3.0 * x - y];
        lines.into_iter().all(off)
    };
    (0.0..1.0, 0.0..1.0).prop_filter("on a line of symmetry", move |(x, y)| clear(*x, *y)).prop_map(|(x, y)| [x, y])
}

proptest! {
    #![proptest_config(crate::common::cases(40))]

    #[test]
    fn one_mark_yields_the_positions_of_international_tables(at in general()) {
        let table = reference("plane_groups.json");
        prop_assert_eq!(list(&table, "groups").len(), 17);
        for group in list(&table, "groups") {
            let operators: Vec<String> =
                list(group, "operators").iter().map(|o| o.as_str().expect("text").to_owned()).collect();
            // A centred cell's operators name each place in both halves: our lattice makes one of them.
            let multiplicity = group["multiplicity_primitive"].as_u64().expect("a count") as usize;
            agrees(text(group, "hm_short"), &operators, multiplicity, at)?;
            agrees(text(group, "hm_full"), &operators, multiplicity, at)?;
        }
    }
}

/// A border's places, both in number and in height: nothing leaves it above or below.
#[test]
fn borders_have_the_seven_frieze_groups() {
    let table = reference("frieze_groups.json");
    assert_eq!(list(&table, "groups").len(), 7);
    for group in list(&table, "groups") {
        let name = text(group, "hm");
        let symmetry: Symmetry = name.parse().expect(name);
        assert_eq!(symmetry.frieze(), Some(name));
        let scheme = Scheme::new(Some(Layout::Border), Some(symmetry), None).expect(name);
        let repeat = block(&scheme, 480, 120);
        assert!(repeat.one_way && scheme.tile_blocks() == [1, 1], "{name}");
        let at = [0.13, 0.19];
        let images: Vec<Spot> = repeat.images(spot(&repeat, at)).collect();
        assert_eq!(images.len() as u64, group["multiplicity"].as_u64().expect("a count"), "{name}");
        for operator in list(group, "operators") {
            // The table's axis is the middle of our border.
            let [x, y] = apply(operator.as_str().expect("text"), [at[0], at[1] - 0.5]);
            let there = spot(&repeat, [x.rem_euclid(1.0), y + 0.5]);
            let across = |s: Spot| s.x().rem_euclid(repeat.tile.width * PARTS);
            let found =
                images.iter().filter(|i| across(**i).abs_diff(across(there)) <= 1 && i.y().abs_diff(there.y()) <= 1);
            assert_eq!(found.count(), 1, "{name}: {operator} of {images:?}");
        }
    }
    let refused = Scheme::new(Some(Layout::Border), Some("p4".parse().expect("a group")), None).expect_err("no frieze");
    assert!(refused.to_string().starts_with("a border can't have p4; write one of the seven"), "{refused}");
}

/// p31m has its mirrors along the steps, p3m1 across them (International Tables A, nos. 14 and 15).
#[test]
fn p31m_and_p3m1_are_told_apart() {
    let on_a_step = |name: &str| {
        let scheme = Scheme::new(None, Some(name.parse().expect(name)), None).expect(name);
        let repeat = block(&scheme, 480, 720);
        // A spot on the shortest step from the origin lies on a mirror of p31m only.
        let images: Vec<Spot> = repeat.images(spot(&repeat, [0.23, 0.0])).collect();
        let distinct = |n: &usize| !images[..*n].iter().any(|&other| same(&repeat.lattice, other, images[*n]));
        (0..images.len()).filter(distinct).count()
    };
    assert_eq!((on_a_step("p31m"), on_a_step("p3m1")), (3, 6));
}

/// The raster of one lop-sided mark in general position, and of many: 0 pixels differ under each operator.
#[test]
fn the_raster_maps_onto_itself_under_every_operator_of_pixels() {
    let names = ["p11m", "p11g", "c11m", "p2gm"].map(|name| name.parse().expect(name));
    for group in Symmetry::all().chain(names) {
        let scheme = Scheme::new(None, Some(group), None).expect("a scheme");
        let mut repeat = block(&scheme, 560, 420);
        repeat.ground = Some([243, 238, 227]);
        // Small, and where there is most room: what lies over its own image can't be mirrored.
        let (room, share) = roomiest(&repeat);
        let scale = room * 0.6 / motifs()[1].page_px().width;
        let (sin, cos) = 17f64.to_radians().sin_cos();
        let linear = [cos * scale, sin * scale, -sin * scale, cos * scale];
        repeat.placements = vec![Placement { motif: 1, at: spot(&repeat, share), linear, layer: 0 }];
        let picture = painted(&repeat, motifs());
        assert!(picture.differs_from(&painted(&blank(&repeat), motifs()), [0, 0]) > 300, "{group}: there is a mark");
        for operator in &repeat.symmetry {
            assert_eq!(unlike(&picture, operator), 0, "{group}: {operator:?}");
        }
        if repeat.symmetry.len() > 1 {
            let mut wrong = repeat.symmetry[1];
            wrong.t[0] += 2;
            assert!(unlike(&picture, &wrong) > 100, "{group}: a mirror two pixels off is seen");
        }
    }
}

/// How far the images of a spot lie from each other at most, and where.
fn roomiest(repeat: &Repeat) -> (f64, [f64; 2]) {
    let shares =
        (0..24).flat_map(|i| (0..24).map(move |j| [f64::from(i) / 24.0 + 0.0173, f64::from(j) / 24.0 + 0.0137]));
    let room = |share: [f64; 2]| {
        let images: Vec<[f64; 2]> = repeat.images(spot(repeat, share)).map(Spot::units).collect();
        let far = |image: &[f64; 2]| {
            let [x, y] = [image[0] - images[0][0], image[1] - images[0][1]];
            let steps = repeat.lattice.steps_into([x, y, x, y], [-3000, -3000, 3000, 3000]);
            let lengths = steps.iter().map(|step| (x + step[0] as f64).hypot(y + step[1] as f64));
            lengths.filter(|length| *length > 0.0).fold(f64::INFINITY, f64::min)
        };
        images.iter().map(far).fold(f64::INFINITY, f64::min)
    };
    let best = shares.map(|share| (room(share), share)).max_by(|a, b| a.0.total_cmp(&b.0));
    best.expect("a spot")
}

fn blank(repeat: &Repeat) -> Repeat {
    Repeat { placements: Vec::new(), ..repeat.clone() }
}

/// Pixels that are not where an operator carries them.
fn unlike(picture: &Picture, operator: &Operator) -> usize {
    let (w, h) = (picture.width as i64, picture.height as i64);
    let image = |x: i64, y: i64| {
        // The middle of a pixel goes to the middle of a pixel.
        let twice = Operator { m: operator.m, t: operator.t.map(|n| 2 * n) }.carry([2 * x + 1, 2 * y + 1]);
        [(twice[0] - 1).div_euclid(2), (twice[1] - 1).div_euclid(2)]
    };
    let all = (0..h).flat_map(|y| (0..w).map(move |x| (x, y)));
    all.filter(|&(x, y)| {
        let [p, q] = image(x, y);
        picture.pixel(x, y) != picture.pixel(p.rem_euclid(w), q.rem_euclid(h))
    })
    .count()
}

/// Hexagonal cloth turned by a third: pixels can't follow, places do, in every repeat of the lattice.
#[test]
fn a_third_turn_carries_the_lattice_onto_itself() {
    let scheme = Layout::Hexagonal.scheme();
    let repeat = block(&scheme, 970, 0);
    assert_eq!(repeat.block, [972, 1684]);
    let group = Scheme::new(None, Some("p3".parse().expect("a group")), None).expect("a scheme");
    let repeat = block(&group, 970, 0);
    for turn in &repeat.turns {
        for [x, y] in repeat.lattice.steps_into([0.0; 4], [-3000, -3000, 3000, 3000]) {
            let there = turn.carry(Spot::from_parts(x * PARTS, y * PARTS));
            assert_eq!(there.phase(), [0, 0], "{x} {y}");
            assert!(repeat.lattice.contains(there.whole()), "{x} {y}");
        }
    }
}
