using StageView.Paperwork.Changes;
using StageView.Show.Exchange;
using StageView.Show.Rigs;

namespace StageView.Show.Tests.Exchange;

public sealed class DrawingTests
{
    [Fact]
    public void A_commit_is_shown_before_it_is_taken_and_what_the_rig_adds_stays()
    {
        using var office = new Offices();
        var drawing = new Drawing(office.Rig);
        drawing.Begin();
        Assert.Empty(RigFiles.Open(office.Rig).Fixtures);
        var text = File.ReadAllText(office.Rig);

        var look = drawing.Look(office.Mvr(DrawnRig.Office(3, 6, "1.1")), Guid.NewGuid());
        Assert.Empty(look.Refused);
        Assert.Contains(look.Changes, c => c is { Kind: ChangeKind.Added, What: "fixture" } && c.Names.Contains("head 1 (1.1)"));
        Assert.Contains(look.Changes, c => c is { Kind: ChangeKind.Added, What: "scenery", Names: ["riser"] });
        Assert.Empty(RigFiles.Open(office.Rig).Fixtures);

        drawing.Take(look);
        var taken = RigFiles.Open(office.Rig);
        Assert.Equal(3, taken.Fixtures.Count);
        Assert.Equal(("house", "wall", "floor", "stalls"), (taken.Cameras[0].Name, taken.Mirrors[0].Name, taken.Areas[0].Name, taken.Volumes[0].Name));
        Assert.Equal(text, File.ReadAllText(office.Rig));

        // The next one: a head less, half a metre lower, another address.
        var next = drawing.Look(office.Mvr(DrawnRig.Office(2, 5.5, "2.1")), Guid.NewGuid());
        Assert.Equal(
            [
                "fixture head 3 is gone",
                "2 × fixture moves by 0.5 m (0.5 down): head 1, head 2",
            ],
            next.Changes.Where(c => c is { What: "fixture", Kind: not ChangeKind.Altered }).Select(c => c.ToString()));
        Assert.Contains(next.Changes, c => c.ToString() == "fixture head 1 address 1.1 becomes 2.1");
        Assert.DoesNotContain(next.Changes, c => c.What == "scenery");
    }

    [Fact]
    public void What_the_rig_can_t_be_read_with_is_refused_and_the_last_drawing_stays()
    {
        using var office = new Offices(DrawnRig.Text.Replace("\"cameras\"", """
            "scenery": [{ "name": "flag", "shape": "box", "size": [0.1, 0.1, 0.1], "carriedBy": { "fixture": "head 3", "part": "head" } }], "cameras"
            """, StringComparison.Ordinal));
        var drawing = new Drawing(office.Rig);
        drawing.Begin();

        // The rig leans on a head of the drawing: without one it can't be read at all, with three it can.
        var three = office.Mvr(DrawnRig.Office(3, 6, "1.1"));
        Assert.Throws<StopException>(() => drawing.Look(three, Guid.NewGuid()));
        File.WriteAllText(drawing.FullPath, DrawnRig.Office(3, 6, "1.1"));
        drawing.Take(drawing.Look(three, Guid.NewGuid()));

        var look = drawing.Look(office.Mvr(DrawnRig.Office(2, 6, "1.1")), Guid.NewGuid());
        Assert.Contains("head 3", look.Refused[0], StringComparison.Ordinal);
        Assert.Throws<StopException>(() => drawing.Take(look));
        Assert.Equal(3, RigFiles.Open(office.Rig).Fixtures.Count);
        drawing.Drop(look);
        Assert.False(Directory.Exists(look.Folder));
    }

    [Fact]
    public void A_file_that_is_none_leaves_nothing_behind()
    {
        using var office = new Offices();
        var drawing = new Drawing(office.Rig);
        drawing.Begin();
        var bad = Path.Combine(office.Folder, "bad.mvr");
        File.WriteAllBytes(bad, [1, 2, 3]);
        Assert.Contains("can't be used", Assert.Throws<StopException>(() => drawing.Look(bad, Guid.NewGuid())).Message, StringComparison.Ordinal);
        Assert.Empty(Directory.GetDirectories(Path.GetDirectoryName(drawing.FullPath)!));
    }

    [Fact]
    public void A_rig_without_the_drawing_says_what_to_write()
    {
        using var office = new Offices("""{ "name": "plain" }""");
        var drawing = new Drawing(office.Rig);
        drawing.Begin();
        Assert.False(File.Exists(drawing.FullPath));
        var e = Assert.Throws<StopException>(() => drawing.Look(office.Mvr(DrawnRig.Office(1, 6, "1.1")), Guid.NewGuid()));
        Assert.Contains("\"include\": [\"drawing/drawing.rig.jsonc\"]", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Of_many_commits_the_newest_stay_on_the_disk_and_the_one_in_use()
    {
        using var office = new Offices();
        var drawing = new Drawing(office.Rig);
        drawing.Begin();
        var mvr = office.Mvr(DrawnRig.Office(1, 6, "1.1"));
        for (var i = 0; i < 13; i++)
        {
            drawing.Take(drawing.Look(mvr, Guid.NewGuid()));
        }

        Assert.Equal(10, Directory.GetDirectories(Path.GetDirectoryName(drawing.FullPath)!).Length);
        Assert.Single(RigFiles.Open(office.Rig).Fixtures);
    }

    [Fact]
    public void The_rigs_own_profiles_don_t_stand_in_for_those_of_the_drawing()
    {
        using var office = new Offices();
        var drawing = new Drawing(office.Rig);
        drawing.Begin();
        drawing.Take(drawing.Look(office.Mvr(DrawnRig.Office(1, 6, "1.1")), Guid.NewGuid()));
        var profile = Path.GetFullPath(RigFiles.Open(office.Rig).Fixtures[0].Profile.File);
        Assert.StartsWith(Path.GetDirectoryName(drawing.FullPath)!, profile, StringComparison.Ordinal);
    }
}
