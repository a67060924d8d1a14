//! Worked examples of labor: man-days of a quantity, and a day of nine hours.

use coilstick::estimate::Labor;
use coilstick::estimate::estimate;
use coilstick::trade::Job;
use rust_decimal::Decimal;

fn d(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

/// 16,000 of something at 33 man-hours a thousand, laid by one person.
fn labor(terms: &str) -> Labor {
    let terms = format!("item,for,value\ncompare with,,none\n{terms}");
    let job = Job::from_texts(&[
        ("job", &terms),
        ("runs", "run,service,size,length,lie\nA,cold,3/4,16000,ground\n"),
        ("labor", "per,hours,unit\nlength,33,1000 ft\njoint,0,\n"),
    ]);
    estimate(&job).alternatives[0].labor.clone()
}

/// NAVEDTRA 14045: quantity / unit x man-hours a unit / 8 x delay factor; 16,000 square feet at 33 man-hours per 1,000
/// square feet are 66 man-days times the delay factor. The unit here is the foot; the arithmetic is the same.
#[test]
fn man_days_of_a_quantity() {
    let plain = labor("");
    assert_eq!((plain.hours, plain.days), (d("528"), d("66")));
    // A delay factor of 1.25 is a productivity of 80 points: 82.5 man-days.
    let delayed = labor("productivity,,80\n");
    assert_eq!((delayed.hours, delayed.days), (d("660"), d("82.5")));
}

/// NAVEDTRA 14233: a day of nine hours is 9 / 8 = 1.125 man-days, so that 66 man-days of eight hours pass in 66 / 1.125
/// = 58.67 days of nine.
#[test]
fn a_day_of_nine_hours() {
    assert_eq!(labor("hours a day,,9\n").days, d("58.67"));
    // Four people: 66 / 1.125 / 4.
    assert_eq!(labor("hours a day,,9\ncrew,,4\n").days, d("14.67"));
}
