using System.Xml.Linq;

namespace StageView.App.Tests;

public sealed class LayeringTests
{
    // The arrows of the architecture: a room and the rooms it may see. Rig sees Wire for universe numbers alone.
    private static readonly Dictionary<string, string[]> Allowed = new()
    {
        ["Ground"] = [],
        ["Light"] = ["Ground"],
        ["Wire"] = ["Ground"],
        ["Rig"] = ["Ground", "Light", "Wire"],
        ["Stage"] = ["Ground", "Light", "Wire", "Rig"],
        ["Paperwork"] = ["Ground", "Light", "Wire", "Rig"],
        ["Render"] = ["Ground", "Light"],
        ["Snapshot"] = ["Ground"],
        ["Show"] = ["Ground", "Light", "Wire", "Rig", "Stage", "Paperwork", "Render", "Snapshot"],
        ["Live"] = ["Ground", "Light", "Wire", "Rig", "Stage", "Paperwork", "Render", "Show"],
        ["App"] = ["Ground", "Light", "Wire", "Rig", "Stage", "Paperwork", "Render", "Snapshot", "Show", "Live"],
    };

    // What may be said only in some rooms: text that marks it, and the rooms that may hold it.
    private static readonly (string Text, string[] Rooms)[] Kept =
    [
        ("Silk.NET", ["Render"]),
        ("System.Net.Sockets", ["Wire", "Live"]),
        ("SharpGLTF", ["Rig"]),
        ("Microsoft.AspNetCore", ["Live"]),
        ("System.CommandLine", ["App"]),
    ];

    public static TheoryData<string> Rooms => [.. Allowed.Keys];

    [Theory]
    [MemberData(nameof(Rooms))]
    public void A_room_references_only_the_rooms_below_it(string room)
    {
        var project = XDocument.Load(Repo.File("src", $"StageView.{room}", $"StageView.{room}.csproj"));
        var seen = project.Descendants("ProjectReference")
            .Select(r => Path.GetFileNameWithoutExtension(((string)r.Attribute("Include")!).Replace('\\', '/')).Replace("StageView.", "",
                StringComparison.Ordinal));
        Assert.Empty(seen.Except(Allowed[room]));
    }

    [Fact]
    public void Every_room_is_in_the_list()
    {
        var rooms = Directory.GetDirectories(Repo.File("src")).Select(d => Path.GetFileName(d).Replace("StageView.", "", StringComparison.Ordinal));
        Assert.Equal(Allowed.Keys.Order(), rooms.Order());
    }

    [Fact]
    public void What_belongs_to_one_room_is_named_in_no_other()
    {
        var strays = new List<string>();
        foreach (var room in Allowed.Keys)
        {
            foreach (var file in Directory.EnumerateFiles(Repo.File("src", $"StageView.{room}"), "*.cs", SearchOption.AllDirectories)
                .Where(f => !f.Contains("/obj/", StringComparison.Ordinal) && !f.Contains("/bin/", StringComparison.Ordinal)))
            {
                var text = File.ReadAllText(file);
                strays.AddRange(Kept
                    .Where(k => !k.Rooms.Contains(room) && text.Contains("using " + k.Text, StringComparison.Ordinal))
                    .Select(k => $"{Path.GetRelativePath(Repo.Root, file)} uses {k.Text}"));
            }
        }

        Assert.Empty(strays);
    }

    [Fact]
    public void Every_room_has_a_test_project() =>
        Assert.All(Allowed.Keys, room => Assert.True(File.Exists(Repo.File("tests", $"StageView.{room}.Tests", $"StageView.{room}.Tests.csproj")), room));
}
