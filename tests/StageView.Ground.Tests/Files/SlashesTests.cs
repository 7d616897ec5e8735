using StageView.Ground.Files;

namespace StageView.Ground.Tests.Files;

public sealed class SlashesTests
{
    [Fact]
    public void Only_where_a_backslash_separates_it_is_turned()
    {
        Assert.Equal("C:/shows/a b/x.png", Slashes.Of(@"C:\shows\a b/x.png", '\\'));
        Assert.Equal(@"shows/a\b", Slashes.Of(@"shows/a\b", '/'));
        Assert.Equal("out/x.png", Slashes.Join("out", "x.png"));
    }
}
