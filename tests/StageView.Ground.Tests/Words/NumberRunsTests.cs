using System.Globalization;
using FsCheck;
using FsCheck.Fluent;
using StageView.Ground.Words;

namespace StageView.Ground.Tests.Words;

public sealed class NumberRunsTests
{
    [Theory]
    [InlineData("101 102 103 107", "101-103 107")]
    [InlineData("101 102", "101 102")]
    [InlineData("107 103 101 102", "101-103 107")]
    [InlineData("5 5 5", "5")]
    [InlineData("1 2 3 5 6 7 9 10", "1-3 5-7 9 10")]
    [InlineData("12 11 globe 10 globe", "10-12 globe")]
    [InlineData("-1 2,5 +3", "-1 2,5 +3")]
    [InlineData("99999999999 1", "1 99999999999")]
    [InlineData("2147483646 2147483647 2147483645", "2147483645-2147483647")]
    public void Neighbours_join_and_names_stand_at_the_end(string labels, string written) =>
        Assert.Equal(written, NumberRuns.Of(labels.Split(' ')));

    [Fact]
    public void Nothing_gives_nothing() => Assert.Equal("", NumberRuns.Of([]));

    [Fact]
    public void Read_back_it_is_the_same_numbers_each_once_and_in_order() => Prop.ForAll(
        Gen.Choose(0, 60).Select(n => n).ArrayOf().ToArbitrary(),
        numbers => Read(NumberRuns.Of(numbers.Select(n => n.ToString(CultureInfo.InvariantCulture)))).SequenceEqual(numbers.Distinct().Order()))
        .QuickCheckThrowOnFailure();

    private static IEnumerable<int> Read(string runs)
    {
        foreach (var run in runs.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            var ends = run.Split('-');
            for (var n = int.Parse(ends[0], CultureInfo.InvariantCulture); n <= int.Parse(ends[^1], CultureInfo.InvariantCulture); n++)
            {
                yield return n;
            }
        }
    }
}
