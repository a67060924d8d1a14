//! What is always true of an estimate and of its files, whatever stands in the tables.

use std::collections::BTreeSet;

use coilstick::estimate::{Alternative, Estimate, OrderLine};
use coilstick::ground::money::round_half_away;
use coilstick::report;
use coilstick::trade::Job;
use rust_decimal::Decimal;

use crate::asked::judge_notices;

/// Judges what came of a job.
pub(crate) fn judge(job: &Job, estimate: &Estimate) {
    judge_notices(job.notices.iter().chain(&estimate.notices).chain(&estimate.told));
    for alternative in &estimate.alternatives {
        ends_balance(alternative);
        pieces_add_up(estimate, alternative);
        nothing_vanishes(job, estimate, alternative);
        for line in &alternative.order {
            buy_is_need_and_allowance_and_rest(line);
        }
        sums_add_up(alternative);
        for plan in &alternative.plans {
            assert!(plan.bound <= plan.cost, "a plan below its bound: {plan:?}");
        }
        let made: i64 = alternative.takeoff.made.iter().map(|made| made.count).fold(0, i64::saturating_add);
        assert!(
            made >= alternative.takeoff.joints,
            "{made} joints are made of {}",
            alternative.takeoff.joints
        );
    }
    if estimate.is_complete() {
        let errors: Vec<_> = estimate.told.iter().filter(|notice| notice.is_error()).collect();
        assert!(errors.is_empty(), "complete with errors: {errors:#?}");
        let chosen = &estimate.alternatives[0];
        assert!(estimate.left_out.is_empty() && chosen.takeoff.missing.is_empty());
        assert!(chosen.cost.not_priced.is_empty() && chosen.cost.complete);
        assert!(estimate.lacks(job).is_empty() && estimate.incomplete(job).is_none());
    } else {
        assert!(!estimate.lacks(job).is_empty() && estimate.incomplete(job).is_some());
    }
}

/// Ends are what fills them and what they are met by, wherever everything is counted.
fn ends_balance(alternative: &Alternative) {
    for row in &alternative.takeoff.balance {
        let met = row.filled + row.coupled + row.on_site + row.elsewhere;
        assert!(row.male == met || !alternative.cost.complete, "{row:?}");
        for count in [row.male, row.filled, row.coupled, row.on_site, row.elsewhere] {
            assert!(count >= 0, "{row:?}");
        }
    }
}

/// Pieces of tube come to the tube of the takeoff.
fn pieces_add_up(estimate: &Estimate, alternative: &Alternative) {
    let mut tube = vec![0_i128; estimate.items.len()];
    for line in &alternative.takeoff.lines {
        assert!(line.count >= 0, "{line:?}");
        if estimate.items.get(line.item).is_length() {
            tube[line.item.0 as usize] += i128::from(line.count);
        }
    }
    for piece in &alternative.takeoff.pieces {
        tube[piece.item.0 as usize] -= i128::from(piece.length.nanometres()) * i128::from(piece.copies);
    }
    assert!(tube.iter().all(|rest| *rest == 0), "pieces and tube part: {tube:?}");
}

fn places(quantity: Decimal) -> Decimal {
    round_half_away(quantity, 4)
}

/// What is traced is ordered, line by line, and nothing else is.
fn nothing_vanishes(job: &Job, estimate: &Estimate, alternative: &Alternative) {
    let of_unit = Decimal::from(job.settings.units.nanometres());
    let mut traced = vec![Decimal::ZERO; estimate.items.len()];
    for line in &alternative.takeoff.lines {
        let count = Decimal::from(line.count);
        traced[line.item.0 as usize] += match line.joint {
            Some(row) => {
                let row = &job.catalog.joints[row as usize];
                let Some(amount) = count.checked_mul(row.amount) else { return };
                amount / Decimal::from(row.per)
            }
            None if estimate.items.get(line.item).is_length() => count / of_unit,
            None => count,
        };
    }
    for line in &alternative.order {
        let was = std::mem::take(&mut traced[line.item.0 as usize]);
        assert_eq!(places(was + line.by_plan), places(line.need), "{line:?}");
    }
    assert!(
        traced.iter().all(|rest| places(*rest).is_zero()),
        "something is traced and not ordered: {traced:?}"
    );
}

/// Buy is need and allowance and what is left over; what is bought has a price above nothing.
fn buy_is_need_and_allowance_and_rest(line: &OrderLine) {
    let Some(extended) = line.extended else {
        assert!(line.picks.is_empty(), "not priced and bought: {line:?}");
        return;
    };
    let bought: Decimal = line.picks.iter().map(|pick| pick.buy - pick.left_over).sum();
    assert_eq!(places(bought + line.on_hand), places(line.need + line.allow), "{line:?}");
    for pick in &line.picks {
        assert_eq!(places(pick.buy), places(pick.need + pick.allow + pick.left_over), "{pick:?}");
        assert!(pick.left_over >= Decimal::ZERO && pick.buy >= Decimal::ZERO, "{pick:?}");
        assert!(pick.buy.is_zero() || pick.net > Decimal::ZERO, "bought for nothing: {line:?}");
    }
    let sum: Decimal = line.picks.iter().map(|pick| pick.extended).sum();
    assert_eq!(sum, extended, "{line:?}");
}

fn sums_add_up(alternative: &Alternative) {
    let not_priced: BTreeSet<_> =
        alternative.order.iter().filter(|line| line.extended.is_none()).map(|line| line.item).collect();
    let listed: BTreeSet<_> = alternative.cost.not_priced.iter().copied().collect();
    let cost = &alternative.cost;
    // Sums beyond decimal are told as such and are nothing.
    if cost.material.is_zero() && !cost.complete {
        return;
    }
    assert_eq!(not_priced, listed);
    let sum: Decimal = alternative.order.iter().filter_map(|line| line.extended).sum();
    assert_eq!(sum, cost.material);
    assert_eq!(cost.lines.iter().sum::<Decimal>(), cost.material);
}

/// The files of an estimate: JSON that parses, CSV with as many cells in each row as there are headings, a workbook
/// whose parts are whole.
pub(crate) fn judge_files(files: &[Vec<u8>]) {
    assert_eq!(files.len(), report::FILES.len());
    for (name, bytes) in report::FILES.iter().zip(files) {
        if name.ends_with(".json") {
            let parsed: serde_json::Value = serde_json::from_slice(bytes).unwrap();
            assert!(parsed.is_object(), "{name}");
        } else if name.ends_with(".csv") {
            let mut reader = csv::Reader::from_reader(bytes.as_slice());
            let headings = reader.headers().unwrap().len();
            for row in reader.records() {
                let row = row.unwrap_or_else(|why| panic!("{name}: {why}"));
                assert_eq!(row.len(), headings, "{name}");
            }
        } else {
            let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
            for at in 0..archive.len() {
                std::io::copy(&mut archive.by_index(at).unwrap(), &mut std::io::sink()).unwrap();
            }
        }
    }
}
