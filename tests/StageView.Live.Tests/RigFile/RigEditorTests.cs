using System.Numerics;
using System.Text;
using StageView.Ground.Indices;
using StageView.Live.RigFile;
using StageView.Rig.Assets;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Live.Tests.RigFile;

public sealed class RigEditorTests
{
    private static readonly SourcePath FirstHang = SourcePath.Top.Key("h").Item(0);

    public static TheoryData<string, SourcePath, string> Values => new()
    {
        { """{ "a": [1, {"b": 2}] /* c */, "at": [1, 2, 3], }""", SourcePath.Top.Key("at"), "[1, 2, 3]" },
        { "{ // \"at\": [9]\n \"at\" : [ 1,2 , 3 ] // x\n}", SourcePath.Top.Key("at"), "[ 1,2 , 3 ]" },
        { """{"hangs":[{"at":0},{"x":{"at":"no"},"at":-1.5e2}]}""", SourcePath.Top.Key("hangs").Item(1).Key("at"), "-1.5e2" },
        { """{"odd [0].key":{"at":[7]}}""", SourcePath.Top.Key("odd [0].key").Key("at").Item(0), "7" },
    };

    [Theory]
    [MemberData(nameof(Values), DisableDiscoveryEnumeration = true)]
    public void A_value_is_found_by_its_path(string text, SourcePath path, string value)
    {
        var bytes = Encoding.UTF8.GetBytes(text);
        var span = JsonSpan.Find(bytes, path)!.Value;
        Assert.Equal(value, Encoding.UTF8.GetString(bytes, span.Start, span.End - span.Start));
        var marked = Encoding.UTF8.GetPreamble().Concat(bytes).ToArray();
        Assert.Equal(span.Start + 3, JsonSpan.Find(marked, path)!.Value.Start);
        Assert.Null(JsonSpan.Find(bytes, path.Key("none")));
        Assert.Null(JsonSpan.Find(bytes, path.Item(4)));
    }

    [Theory]
    [InlineData("{\n  \"h\": [\n    {\n      // first\n      \"name\": \"a\" // why\n    }\n  ]\n}", 0,
        "{\n  \"h\": [\n    {\n      \"at\": [1, -2.5, 0],\n      // first\n      \"name\": \"a\" // why\n    }\n  ]\n}")]
    [InlineData("{ \"h\": [{ \"name\": \"a\", \"at\": [0,0,0], /* k */ }] }", 0, "{ \"h\": [{ \"name\": \"a\", \"at\": [1, -2.5, 0], /* k */ }] }")]
    [InlineData("{ \"h\": [{ \"name\": \"a\", \"members\": [{ \"member\": 2, \"mode\": \"m\" }] }] }", 2,
        "{ \"h\": [{ \"name\": \"a\", \"members\": [{ \"at\": [1, -2.5, 0], \"member\": 2, \"mode\": \"m\" }] }] }")]
    [InlineData("{ \"h\": [{ \"name\": \"a\", \"members\": [] }] }", 2,
        "{ \"h\": [{ \"name\": \"a\", \"members\": [ { \"member\": 2, \"at\": [1, -2.5, 0] } ] }] }")]
    [InlineData("{ \"h\": [{ \"name\": \"a\" }] }", 3, "{ \"h\": [{ \"members\": [{ \"member\": 3, \"at\": [1, -2.5, 0] }], \"name\": \"a\" }] }")]
    [InlineData("{ \"h\": [\r\n  {\r\n    \"name\": \"a\"\r\n  }] }", 0, "{ \"h\": [\r\n  {\r\n    \"at\": [1, -2.5, 0],\r\n    \"name\": \"a\"\r\n  }] }")]
    public void Only_the_position_is_written_into_the_text(string text, int member, string wanted) =>
        Assert.Equal(wanted, Encoding.UTF8.GetString(PositionEdit.Write(Encoding.UTF8.GetBytes(text), FirstHang, member, new Vector3(1, -2.5f, -0.0001f))!));

    [Theory]
    [InlineData("down head 3")]
    [InlineData("ladder head 11")]
    [InlineData("tube")]
    [InlineData("tube 3")]
    public void A_fixture_of_the_demo_moves_alone_and_comments_stay(string name)
    {
        using var copy = new RigCopy("foundry");
        var before = File.ReadAllText(copy.File);
        var rig = Load(copy.File);
        var fixture = rig.Fixtures.First(f => f.Name == name);
        var wanted = fixture.Pose.Position + new Vector3(.25f, -.4f, .1f);
        var editor = new RigEditor(copy.File, RigLoadOptions.Default);
        var answer = editor.Move(rig, fixture.Index, wanted);
        Assert.True(answer.Ok, answer.Text);
        Assert.Matches(@" moved to -?\d+\.\d\d, -?\d+\.\d\d, -?\d+\.\d\d m in foundry\.rig\.jsonc$", answer.Text);
        var moved = Load(copy.File);
        Assert.InRange(Vector3.Distance(wanted, moved[fixture.Index].Pose.Position), 0, .002f);
        Assert.All(rig.Fixtures.Where(f => f.Index != fixture.Index), f => Assert.Equal(f.Pose.Position, moved[f.Index].Pose.Position));

        // Every line of the old text is still there, in order, but for those that hold the new position.
        var now = File.ReadAllText(copy.File).Split('\n');
        var kept = before.Split('\n').Count(line => now.Contains(line));
        Assert.InRange(before.Split('\n').Length - kept, 0, 1);

        Assert.True(editor.Undo(moved).Ok);
        Assert.Equal(before, File.ReadAllText(copy.File));
        Assert.True(editor.Redo(Load(copy.File)).Ok);
        Assert.InRange(Vector3.Distance(wanted, Load(copy.File)[fixture.Index].Pose.Position), 0, .002f);
        Assert.Empty(Directory.GetFiles(copy.Folder, "*.tmp"));
    }

    [Fact]
    public void Undo_after_an_edit_by_hand_takes_back_the_move_alone()
    {
        using var copy = new RigCopy("one-mirror");
        var rig = Load(copy.File);
        var editor = new RigEditor(copy.File, RigLoadOptions.Default);
        Assert.True(editor.Move(rig, new FixtureIndex(0), new Vector3(1, 0, 2)).Ok);
        File.WriteAllText(copy.File, File.ReadAllText(copy.File).Replace("\"albedo\": 0.2", "\"albedo\": 0.3", StringComparison.Ordinal));
        var answer = editor.Undo(Load(copy.File));
        Assert.EndsWith(" moved back to 0.00, 0.00, 2.00 m; what was changed by hand since stays", answer.Text, StringComparison.Ordinal);
        Assert.Equal(Vector3.Zero with { Z = 2 }, Load(copy.File).Fixtures[0].Pose.Position);
        Assert.Contains("\"albedo\": 0.3", File.ReadAllText(copy.File), StringComparison.Ordinal);
    }

    [Fact]
    public void Undo_says_that_the_file_was_restored_by_hand_and_writes_nothing()
    {
        using var copy = new RigCopy("foundry");
        var before = File.ReadAllText(copy.File);
        var rig = Load(copy.File);
        var editor = new RigEditor(copy.File, RigLoadOptions.Default);
        var fixture = rig.Fixtures.First(f => f.Name == "down head 3");
        Assert.True(editor.Move(rig, fixture.Index, fixture.Pose.Position + new Vector3(.5f, 0, 0)).Ok);

        // A comment more than before, so that neither text is one that was written from here.
        File.WriteAllText(copy.File, before + "// restored\n");
        var answer = editor.Undo(Load(copy.File));
        Assert.False(answer.Ok);
        Assert.Matches(
            @"^foundry\.rig\.jsonc was changed by hand since, and down head 3 stands at .* m there, not where it was put from here; nothing was written$",
            answer.Text);
        Assert.Equal(before + "// restored\n", File.ReadAllText(copy.File));
        Assert.False(editor.CanUndo);
    }

    [Theory]
    [InlineData(0, 0, 500, "; that is 489 m above hall ceiling")]
    [InlineData(0, 0, -1.5f, "; that is 0.4 m below hall floor")]
    [InlineData(-16, 0, 5, "; that is 2.5 m beyond hall left")]
    [InlineData(0, 13, 5, "; that is 1 m beyond hall rear")]
    [InlineData(0, 0, 10.9f, "")]
    public void A_place_outside_the_room_is_written_and_told(float x, float y, float z, string wanted)
    {
        using var copy = new RigCopy("foundry");
        var rig = Load(copy.File);
        var answer = new RigEditor(copy.File, RigLoadOptions.Default).Move(rig, rig.Fixtures.First(f => f.Name == "down head 1").Index, new Vector3(x, y, z));
        Assert.True(answer.Ok, answer.Text);
        Assert.EndsWith(" m in foundry.rig.jsonc" + wanted, answer.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_stands_in_another_file_is_told_beforehand()
    {
        using var copy = new RigCopy("one-mirror");
        File.WriteAllText(Path.Combine(copy.Folder, "more.rig.jsonc"),
            """{ "name": "more", "hangs": [{ "name": "guest", "profile": "front-profile", "at": [1, 1, 3], "patch": "2.1" }] }""");
        File.WriteAllText(copy.File, File.ReadAllText(copy.File).Replace("\"haze\":", "\"include\": [\"more.rig.jsonc\"],\n  \"haze\":",
            StringComparison.Ordinal));
        var rig = Load(copy.File);
        var guest = rig.Fixtures.First(f => f.Name == "guest");
        Assert.Null(RigEditor.WhyFixed(rig, rig.Fixtures.First(f => f.Name != "guest")));
        var why = RigEditor.WhyFixed(rig, guest);
        Assert.Matches(@"^guest is written in another file \(.*more\.rig\.jsonc:1 .*\); change it there$", why);
        Assert.Equal(why, new RigEditor(copy.File, RigLoadOptions.Default).Move(rig, guest.Index, Vector3.UnitZ).Text);
    }

    [Fact]
    public void A_broken_file_is_left_alone()
    {
        using var copy = new RigCopy("one-mirror");
        var rig = Load(copy.File);
        var broken = File.ReadAllText(copy.File).Replace("\"patch\": \"1.1\"", "\"patch\": ", StringComparison.Ordinal);
        File.WriteAllText(copy.File, broken);
        var answer = new RigEditor(copy.File, RigLoadOptions.Default).Move(rig, new FixtureIndex(0), new Vector3(1, 0, 2));
        Assert.False(answer.Ok);
        Assert.Equal(broken, File.ReadAllText(copy.File));
    }

    private static RigScene Load(string file) =>
        RigLoader.TryLoad(file, out var rig, out var problems) ? rig : throw new InvalidOperationException(string.Join("\n", problems));
}
