namespace StageView.App.Tests;

/// <summary>Circles made on purpose, in sources made up for it.</summary>
public sealed class FolderArrowsTests
{
    [Fact]
    public void Folders_that_use_one_another_are_a_circle_told_with_a_file_for_each_arrow()
    {
        var circle = Circle(
            ("Hall/Beams/Beam.cs", "using StageView.Hall.Rays;\nnamespace StageView.Hall.Beams;\npublic sealed class Beam;"),
            ("Hall/Rays/Ray.cs", "using System;\nusing StageView.Hall.Walls;\nnamespace StageView.Hall.Rays;\npublic sealed class Ray;"),
            ("Hall/Walls/Wall.cs", "using StageView.Hall.Beams;\nnamespace StageView.Hall.Walls;\npublic sealed class Wall;"),
            ("Hall/Walls/Door.cs", "namespace StageView.Hall.Walls;\npublic sealed class Door;"));
        Assert.Equal(
            ["StageView.Hall.Beams -> StageView.Hall.Rays: src/StageView.Hall/Beams/Beam.cs (using StageView.Hall.Rays)",
            "StageView.Hall.Rays -> StageView.Hall.Walls: src/StageView.Hall/Rays/Ray.cs (using StageView.Hall.Walls)",
            "StageView.Hall.Walls -> StageView.Hall.Beams: src/StageView.Hall/Walls/Wall.cs (using StageView.Hall.Beams)"], circle);
    }

    [Fact]
    public void Arrows_in_one_direction_are_none()
    {
        Assert.Empty(Circle(
            ("Hall/Beams/Beam.cs", "using StageView.Hall.Rays;\nusing StageView.Hall.Walls;\nnamespace StageView.Hall.Beams;\npublic sealed class Beam;"),
            ("Hall/Rays/Ray.cs", "using StageView.Hall.Walls;\nnamespace StageView.Hall.Rays;\npublic sealed class Ray;"),
            ("Hall/Walls/Wall.cs", "using StageView.Other.Beams;\nnamespace StageView.Hall.Walls;\npublic sealed class Wall;")));
    }

    [Theory]
    [InlineData("using W = StageView.Hall.Walls.Wall;\n", "")]
    [InlineData("using static StageView.Hall.Walls.Wall;\n", "")]
    [InlineData("", "StageView.Hall.Walls.Wall W;")]
    [InlineData("", "Walls.Wall W;")]
    [InlineData("", "Hall.Walls.Wall W;")]
    public void A_folder_is_named_in_many_ways(string head, string inside)
    {
        var circle = Circle(
            ("Hall/Beams/Beam.cs", head + "namespace StageView.Hall.Beams;\npublic sealed class Beam { " + inside + " }"),
            ("Hall/Walls/Wall.cs", "using StageView.Hall.Beams;\nnamespace StageView.Hall.Walls;\npublic static class Wall;"));
        Assert.Equal(2, circle.Count);
    }

    [Fact]
    public void A_type_of_a_folder_further_up_needs_no_using_and_is_an_arrow()
    {
        var circle = Circle(
            ("Hall/Frame.cs", "using StageView.Hall.Passes;\nnamespace StageView.Hall;\ninternal sealed class Frame { Pass P; }"),
            ("Hall/Passes/Pass.cs", "namespace StageView.Hall.Passes;\ninternal abstract class Pass { void Draw(Frame frame) { } }"));
        Assert.Equal(["StageView.Hall -> StageView.Hall.Passes: src/StageView.Hall/Frame.cs (using StageView.Hall.Passes)",
            "StageView.Hall.Passes -> StageView.Hall: src/StageView.Hall/Passes/Pass.cs (Frame)"], circle);
    }

    [Theory]
    [InlineData("object A() => new Frame();")]
    [InlineData("} internal sealed class Wide() : Frame() {")]
    [InlineData("} internal sealed class Wide : Frame {")]
    [InlineData("System.Type T => typeof(Frame);")]
    [InlineData("int A() => Frame.Count;")]
    public void To_construct_it_to_build_on_it_or_to_ask_it_are_arrows_too(string inside)
    {
        Assert.Equal(2, Circle(
            ("Hall/Frame.cs", "using StageView.Hall.Passes;\nnamespace StageView.Hall;\ninternal sealed class Frame { Pass P; }"),
            ("Hall/Passes/Pass.cs", "namespace StageView.Hall.Passes;\ninternal abstract class Pass { " + inside + " }")).Count);
    }

    [Theory]
    [InlineData("// Frame\n")]
    [InlineData("/* a\n Frame */")]
    [InlineData("string S = \"Frame\";")]
    [InlineData("string S = @\"a \"\" Frame\";")]
    [InlineData("string S = \"\"\"\n a \" Frame\n \"\"\";")]
    [InlineData("int Frame() => 1;")]
    [InlineData("int A(bool b) => b ? 1 : Frame();")]
    [InlineData("char C = '\"'; int Of(Pass p) => p.Frame; char D = '\"';")]
    public void What_is_only_said_is_no_arrow(string inside)
    {
        Assert.Empty(Circle(
            ("Hall/Frame.cs", "using StageView.Hall.Passes;\nnamespace StageView.Hall;\ninternal sealed class Frame { Pass P; }"),
            ("Hall/Passes/Pass.cs", "namespace StageView.Hall.Passes;\ninternal abstract class Pass { " + inside + " }")));
    }

    [Fact]
    public void A_folders_own_type_goes_before_one_of_the_same_name_further_up()
    {
        Assert.Empty(Circle(
            ("Hall/Frame.cs", "using StageView.Hall.Passes;\nnamespace StageView.Hall;\ninternal sealed class Frame;"),
            ("Hall/Passes/Frame.cs", "namespace StageView.Hall.Passes;\ninternal sealed class Frame { Frame F; }")));
    }

    private static IReadOnlyList<string> Circle(params (string Path, string Text)[] files) =>
        [.. FolderArrows.Circle(FolderArrows.Of([.. files.Select(f => new SourceFile("src/StageView." + f.Path, f.Text))]))
            .Select(a => $"{a.From} -> {a.To}: {a.File}")];
}
