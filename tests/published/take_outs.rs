//! A published cut length: what stands between two faces and what goes into them (Modern Plumbing, 2022, p. 342: 2 in. pipe
//! whose fittings are 4 ft 6 in. from face to face, with an engagement of 3/4 in. at each end, is cut 4 ft 7-1/2 in.).

use crate::counting::Counted;

/// However far the face of a fitting is from its center, the take-out is that less the engagement, and the pipe is as long
/// as published: here 1-1/2, 2-1/4 and 3-5/8 in., all made up.
#[test]
fn pipe_between_two_faces_is_cut_with_its_engagement() {
    for (center_to_face, take_out, center_to_center) in [
        ("1-1/2 in", "3/4 in", "4 ft 9 in"),
        ("2-1/4 in", "1-1/2 in", "4 ft 10-1/2 in"),
        ("3-5/8 in", "2-7/8 in", "5 ft 1-1/4 in"),
    ] {
        let runs = format!(
            "run,service,size,path,joins\nD,drain,2,\"E 3 ft, N {center_to_center}, E 3 ft\",sewer\n"
        );
        let take_outs = format!("part,size,take-out,source\nlong sweep,2,{take_out},made up for the test\n");
        let prices =
            "supplier,part,size,price,system,sold as,pack,per\nInvented,tube,2,9,pvc,stick,10 ft,pack\n";
        let job = "item,for,value\nwater system,,pex-clamp\ndrain system,,pvc-cement\ncompare with,,none\n";
        let tables = [("runs", &*runs), ("take-outs", &*take_outs), ("prices", prices), ("job", job)];
        let cuts = Counted::of(&tables).file("cut-plan.csv");
        let between = |row: &&crate::counting::Row| {
            ["beginning in", "end in"].iter().all(|end| row[*end].starts_with("long sweep"))
        };
        let cut: Vec<&str> = cuts.iter().filter(between).map(|row| &*row["as cut (ft)"]).collect();
        assert_eq!(cut, ["4.625"], "{center_to_face}: 4 ft 7-1/2 in; {cuts:#?}");
    }
}
