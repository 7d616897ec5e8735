using StageView.Ground.Words;

namespace StageView.Ground.Tests.Words;

public sealed class CountedTests
{
    [Theory]
    [InlineData(0, "0 beams")]
    [InlineData(1, "1 beam")]
    [InlineData(2, "2 beams")]
    [InlineData(-1, "-1 beams")]
    [InlineData(12000, "12000 beams")]
    public void One_is_one_and_everything_else_is_several(long n, string words) => Assert.Equal(words, Counted.Of(n, "beam"));

    [Fact]
    public void A_word_of_its_own_for_several_is_taken() =>
        Assert.Equal(["1 address", "3 addresses"], new[] { 1, 3 }.Select(n => Counted.Of(n, "address", "addresses")));
}
