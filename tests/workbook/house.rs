//! A small invented house, with prices that try every way of selling: coils, sticks, bags of two sizes, loose by the
//! piece and by the hundred, discounts in a chain, breaks.

use coilstick::estimate::{Estimate, estimate};
use coilstick::trade::Job;

const JOB: &str = "\
item,for,value,note
name,,Lodge on Alder Lane & annex,invented
date,,2026-03-01,
currency,,USD,
water system,,pex-clamp,
compare with,,copper-solder,
allowance,fitting,5,
no allowance under,fitting,4,
allowance,ring,10,
allowance,support,5,
allowance,consumable,10,
contingency,,3,
overhead,,10,
profit,,8,
sales tax,,7.25,
sales tax,delivery,2,
tax exempt,stub-out,yes,
tax exempt,support,yes,
small parts,,1.5,
delivery,,30,
lump-sum labor,demolition,240,
sales tax,labor,1.5,
fee,permit,185,
bid good until,,2026-04-15,
not included,,patching of walls; painting,
marked up fee,bond,90,
crew,journeyman,2,
crew,helper,1,
rate,journeyman,52,
rate,helper,31.5,
burden,,28,
productivity,,85,
difficulty,crawl space,15,
hours a day,,8,
";

const RUNS: &str = "\
run,service,size,length (ft),pattern,joins,at (ft),to,turns,rise (ft),area,fixture,alternate,note
C1,cold,1,34' 6\",,main,,,2,,crawl space,,,=HYPERLINK(\"x\")
C2,cold,3/4,28,tank heater,C1,20,heater,3,4,utility,tank heater,,
C3,cold,1/2,12' 3 1/2\",fixture supply,C1,28,hall lavatory,1,2,hall bath,lavatory,,
C4,cold,1/2,18.25,fixture supply,C1,31,kitchen sink,2,2,kitchen,kitchen sink,,
C10,cold,3/4,22,,C1,,,1,,crawl space,,,
C11,cold,1/2,9,fixture supply,C10,12,hall closet,1,2,hall bath,water closet,,
C12,cold,1/2,14' 6\",washer box,C10,,laundry box,2,3,laundry,washer,,
H1,hot,3/4,40,tank heater,heater,,,2,-4,crawl space,,,
H2,hot,1/2,11,fixture supply,H1,22,hall lavatory 2,1,2,hall bath,lavatory,,
H3,hot,1/2,16.5,fixture supply,H1,30,kitchen sink 2,2,2,kitchen,kitchen sink,without bare kitchen,+note
H4,hot,1/2,13,,H1,,,2,3,laundry,,,
C13,cold,1/2,21,fixture supply,C10,6,annex lavatory,2,2,annex,lavatory,annex bath,
H5,hot,1/2,24,fixture supply,H1,6,annex lavatory 2,2,2,annex,lavatory,annex bath,
";

const PRICES: &str = "\
supplier,part,size,price,system,variant,color,code,description,sold as,pack,per,discount,breaks,good until,returnable
Harbor Pipe (invented),tube,1,92.5,pex,,,T100,tube 1 in,coil,100 ft,pack,10,,2026-12-31,yes
Harbor Pipe (invented),tube,1/2,0.3149,pex,,,T50,tube 1/2 in,coil,100 ft,ft,10+5,,2026-12-31,yes
Harbor Pipe (invented),tube,3/4,0.52,pex,,,T75,tube 3/4 in,coil,100 ft,ft,10+5,,2026-12-31,yes
Harbor Pipe (invented),tube,1,3.41,copper,type L,,L100,,stick,20 ft,ft,,,,yes
Harbor Pipe (invented),tube,3/4,2.11,copper,type L,,L75,,stick,20 ft,ft,,,,yes
Harbor Pipe (invented),tube,1/2,1.28,copper,type L,,L50,,stick,10 ft,ft,,,,yes
Harbor Pipe (invented),tee,1 x 1 x 3/4,4.185,pex,,,F11,,each,,each,,,,yes
Harbor Pipe (invented),tee,1 x 1 x 1/2,3.95,pex,,,F12,,each,,each,,,,yes
Harbor Pipe (invented),tee,3/4 x 3/4 x 1/2,2.35,pex,,,F13,,each,,each,25+15,10: 2.10,,yes
Harbor Pipe (invented),stub-out,1/2,41.30,,,,S50,,each,,100,,,,yes
Harbor Pipe (invented),clamp ring,1/2,2.00,pex,,,R50C,,bag,6,pack,,,,yes
Harbor Pipe (invented),clamp ring,1/2,3.05,pex,,,R50X,,bag,10,pack,,,,yes
Harbor Pipe (invented),clamp ring,3/4,3.65,pex,,,R75X,,bag,10,pack,,,,yes
Harbor Pipe (invented),clamp ring,1,4.85,pex,,,R10X,,bag,10,pack,,,,yes
Harbor Pipe (invented),ball valve,3/4,12.4,,,,V75,,each,,each,,,,yes
Mill Supply (invented),elbow,1/2,0.62,copper,,,E50,,each,,each,,25: 0.55,,no
Mill Supply (invented),elbow,3/4,1.31,copper,,,E75,,each,,each,,,,no
Mill Supply (invented),elbow,1,3.02,copper,,,E100,,each,,each,,,,no
Mill Supply (invented),tee,1 x 1 x 1/2,6.10,copper,,,,,each,,each,,,,no
Mill Supply (invented),tee,3/4 x 3/4 x 1/2,3.2,copper,,,,,each,,each,,,,no
Mill Supply (invented),solder,,29.9,copper,,,,,bag,1 lb,pack,,,,no
Mill Supply (invented),tube strap,1/2,14.75,copper,,,,,bag,100,pack,,,,no
Mill Supply (invented),tube strap,3/4,18.2,copper,,,,,bag,100,pack,,,,no
Mill Supply (invented),tube strap,1,23.6,copper,,,,,bag,100,pack,,,,no
Mill Supply (invented),tube clip,1/2,9.8,pex,,,,,bag,100,pack,,,,no
Mill Supply (invented),tube clip,3/4,11.6,pex,,,,,bag,100,pack,,,,no
Mill Supply (invented),tube clip,1,13.1,pex,,,,,bag,100,pack,,,,no
";

const LABOR: &str = "\
per,class,system,size,hours,unit,note
joint,,pex-clamp,,0.055,,clamped (invented)
joint,,copper-solder,,0.145,,soldered (invented)
joint,,copper-solder,1,0.21,,soldered large (invented)
thread,,,,0.1,,threads (invented)
length,,pex,,1.9,100 ft,pulled (invented)
length,,copper,,4.55,100 ft,hung (invented)
support,,,,0.033,,supports (invented)
part,valve,,,0.125,,valves (invented)
part,device,,,0.45,,devices (invented)
part,trim,,,0.2,,trim (invented)
";

const TOOLS: &str = "\
tool,system,how,price,jobs,days
clamp tool,pex-clamp,bought,64.5,7,
torch,copper,bought,91,12,
large drill,,rented by day,38,,
pipe bench,copper,rented by week,61,,8
gauge,,owned,,,
";

const SUPPLIERS: &str = "\
supplier,delivery fee,least order
Harbor Pipe (invented),45,150
Mill Supply (invented),20,
";

/// The tables of the house as written.
pub(crate) fn tables() -> [(&'static str, &'static str); 5] {
    [("job", JOB), ("runs", RUNS), ("prices", PRICES), ("labor", LABOR), ("tools", TOOLS)]
}

/// What may differ from the house as written: a person's edits.
#[derive(Debug, Clone, Default)]
pub(crate) struct Edits {
    /// A cell of the table `job`: its line and the line it becomes.
    pub(crate) job: Vec<(&'static str, &'static str)>,
    /// The same in the price list.
    pub(crate) prices: Vec<(&'static str, &'static str)>,
    /// The same in what suppliers charge.
    pub(crate) suppliers: Vec<(&'static str, &'static str)>,
    /// The same in the choices that are held.
    pub(crate) held: Vec<(&'static str, &'static str)>,
    /// The same in the table of hours.
    pub(crate) labor: Vec<(&'static str, &'static str)>,
    /// The same in the table of tools.
    pub(crate) tools: Vec<(&'static str, &'static str)>,
}

/// The job and its estimate, after edits, free to choose.
pub(crate) fn house(edits: &Edits) -> (Job, Estimate) {
    read(edits, "part\n")
}

/// The job and its estimate after edits, with the choices held that are made without them.
pub(crate) fn house_held(edits: &Edits) -> (Job, Estimate) {
    let (job, before) = house(&Edits::default());
    let at = coilstick::report::FILES.iter().position(|name| *name == "held.csv").unwrap();
    let held = coilstick::report::bytes(&job, &before).unwrap()[at].clone();
    read(edits, &replaced(&String::from_utf8(held).unwrap(), &edits.held))
}

fn replaced(text: &str, edits: &[(&str, &str)]) -> String {
    edits.iter().fold(text.to_owned(), |text, (old, new)| {
        assert!(text.contains(old), "{old} is in the table");
        text.replace(old, new)
    })
}

fn read(edits: &Edits, held: &str) -> (Job, Estimate) {
    let (job, prices) = (replaced(JOB, &edits.job), replaced(PRICES, &edits.prices));
    let (labor, tools) = (replaced(LABOR, &edits.labor), replaced(TOOLS, &edits.tools));
    let job = Job::from_texts(&[
        ("job", &job),
        ("runs", RUNS),
        ("prices", &prices),
        ("labor", &labor),
        ("tools", &tools),
        ("held", held),
        ("suppliers", &replaced(SUPPLIERS, &edits.suppliers)),
    ]);
    let estimate = estimate(&job);
    let errors: Vec<_> =
        job.notices.iter().chain(&estimate.notices).filter(|notice| notice.is_error()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    (job, estimate)
}
