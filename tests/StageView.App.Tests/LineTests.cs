namespace StageView.App.Tests;

public sealed class LineTests
{
    private const int Longest = 160;

    /// <summary>Two files fit side by side on a screen, and a change of one thing is a change of one line.</summary>
    [Theory]
    [InlineData("src")]
    [InlineData("tests")]
    public void No_line_is_longer_than_160_columns(string under) =>
        Assert.Empty(SourceFile.Under(under).SelectMany(f => TooLong(f.Text).Select(n => $"{f.Path}:{n}")));

    [Fact]
    public void The_first_column_too_many_is_found() => Assert.Equal([2], TooLong($"{new string('x', 160)}\n{new string('x', 161)}\r\n{new string('é', 160)}"));

    private static IEnumerable<int> TooLong(string text) =>
        text.Split('\n').Select((line, i) => (line, i)).Where(l => l.line.TrimEnd('\r').Length > Longest).Select(l => l.i + 1);
}
