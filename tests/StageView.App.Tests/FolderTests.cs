using System.Text.RegularExpressions;

namespace StageView.App.Tests;

/// <summary>Folders within a room lean on one another in one direction only, and a file's namespace is its folder.</summary>
public sealed partial class FolderTests
{
    /// <summary>Arrows that may close a circle: room, from, to, and why. An arrow that is no longer there is dropped from here.</summary>
    private static readonly (string From, string To, string Why)[] Allowed =
    [
    ];

    // Test folders that mirror none of src, and why.
    private static readonly Dictionary<string, string> s_ownFolders = new()
    {
        ["StageView.App.Tests.Docs"] = "what the pages for users say and show",
        ["StageView.App.Tests.Live"] = "the live verb as a process: a night, a window, a lost context",
        ["StageView.Render.Tests.PovRay"] = "scenes that another renderer draws too",
        ["StageView.Rig.Tests.Independent"] = "another reader of GDTF and MVR",
        ["StageView.Stage.Tests.Independent"] = "another reader's levels and matrices",
        ["StageView.Wine"] = "the Windows build, as ./dev wine runs it",
        ["StageView.Wire.Tests.Independent"] = "other people's senders and receivers",
    };

    public static TheoryData<string> Rooms => [.. Directory.GetDirectories(Repo.File("src")).Select(d => Path.GetFileName(d)!).Order(StringComparer.Ordinal)];

    [Theory]
    [MemberData(nameof(Rooms))]
    public void No_folders_of_a_room_lean_on_one_another_in_a_circle(string room)
    {
        var arrows = FolderArrows.Of([.. SourceFile.Under("src").Where(f => f.Path.StartsWith($"src/{room}/", StringComparison.Ordinal))]);
        Assert.True(room == "StageView.Ground" || arrows.Count > 0, $"no arrows were read in {room}");
        var circle = FolderArrows.Circle([.. arrows.Where(a => !Allowed.Any(l => (Full(l.From), Full(l.To)) == (a.From, a.To)))]);
        Assert.True(circle.Count == 0,
            string.Join('\n', circle.Select(a => $"{a.From} -> {a.To}: {a.File}").Prepend($"a circle of {circle.Count} folders in {room}:")));
    }

    [Fact]
    public void Every_allowed_arrow_is_there()
    {
        var all = Rooms.SelectMany(r => FolderArrows.Of([.. SourceFile.Under("src").Where(f => f.Path.StartsWith($"src/{r.Data}/", StringComparison.Ordinal))]))
            .Select(a => (a.From, a.To)).ToHashSet();
        Assert.Empty(Allowed.Where(l => !all.Contains((Full(l.From), Full(l.To)))).Select(l => $"{l.From} -> {l.To}"));
        Assert.All(Allowed, l => Assert.NotEmpty(l.Why));
    }

    [Theory]
    [InlineData("src")]
    [InlineData("tests")]
    public void A_namespace_is_its_folder(string under)
    {
        var wrong = SourceFile.Under(under)
            .Where(f => Namespace().Match(f.Text) is { Success: true } n ? n.Groups[1].Value != f.Folder : Path.GetFileName(f.Path) != "Program.cs")
            .Select(f => f.Path);
        Assert.Empty(wrong);
    }

    [Fact]
    public void Tests_lie_in_the_folders_of_what_they_test()
    {
        var folders = Directory.EnumerateDirectories(Repo.File("src"), "*",
            SearchOption.AllDirectories).Select(d => Path.GetRelativePath(Repo.File("src"), d).Replace('/', '.')).ToHashSet();
        var strays = SourceFile.Under("tests")
            .Where(f => f.Path.EndsWith("Tests.cs", StringComparison.Ordinal) && !s_ownFolders.ContainsKey(f.Folder)
                && !folders.Contains(f.Folder.Replace(".Tests", "", StringComparison.Ordinal)))
            .Select(f => f.Path);
        Assert.Empty(strays);
    }

    private static string Full(string folder) => "StageView." + folder;

    [GeneratedRegex(@"^namespace ([\w.]+);", RegexOptions.Multiline)]
    private static partial Regex Namespace();
}
