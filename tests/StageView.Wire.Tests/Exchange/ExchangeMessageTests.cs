using System.Text;
using StageView.Wire.Exchange;

namespace StageView.Wire.Tests.Exchange;

public sealed class ExchangeMessageTests
{
    private static readonly Guid s_station = Guid.Parse("6f2cc0a8-7f3c-4b28-a0cc-08aa4b51b3f1");
    private static readonly Guid s_file = Guid.Parse("0b1c5b62-8b5f-4a6e-8e2c-1f2e3d4c5b6a");

    [Fact]
    public void Messages_are_read_as_they_were_written()
    {
        var line = new CommitLine(s_file, s_station, 256, "moved \"two\" heads", "show.mvr", [s_station]);
        var join = Read(new ExchangeMessage
        {
            Type = ExchangeMessage.Join, Ok = true, Provider = "p", StationName = "s", Station = s_station, Commits = [line],
        }.Write());
        Assert.True(join.Ok);
        Assert.Equivalent(line, Assert.Single(join.Commits));
        Assert.Equivalent(line, Read(new ExchangeMessage { Type = ExchangeMessage.Commit, Told = line }.Write()).Told);
        var request = Read(new ExchangeMessage { Type = ExchangeMessage.Request, File = s_file, Station = s_station }.Write());
        Assert.Equal((s_file, s_station, null), (request.File, request.Station, request.Ok));
        Assert.Equal(s_station, Read(new ExchangeMessage { Type = ExchangeMessage.Leave, Station = s_station }.Write()).Station);
    }

    // DIN SPEC 15801, the examples beside the tables: other names, flags and numbers as texts, a station as one text.
    [Fact]
    public void Messages_are_read_as_the_standards_examples_write_them()
    {
        var join = Read($$"""{"Type":"MVR_JOIN","OK":"true","Message":"","Files":[{"FileUUID":"{{s_file}}","FileSize":"256","verMajor":"1"}]}""");
        Assert.Equal((true, 256L), (join.Ok, Assert.Single(join.Commits).Bytes));
        Assert.Equal(s_station, Read($$"""{"Type":"MVR_LEAVE","StationUUID":"{{s_station}}",}""").Station);
        Assert.Equal(s_station, Read($$"""{"Type":"MVR_REQUEST","FromStationUUID":"{{s_station}}","FileUUID":""}""").Station);
        Assert.Equal((false, "not here"), (Read("""{"Type":"MVR_REQUEST","OK":"false","Message":"not here"}""") is var no ? no.Ok : null, no.Words));
        Assert.False(Read("""{"Type":"MVR_REQUEST_RET"}""").Ok);
    }

    [Fact]
    public void What_a_stranger_writes_is_cut_and_made_plain()
    {
        var commits = string.Join(',', Enumerable.Range(0, 3000).Select(_ => $$"""{"FileUUID":"{{Guid.NewGuid()}}","FileSize":-5}"""));
        var read = Read($$"""{"Type":"MVR_JOIN","StationName":"{{new string('x', 5000)}}\u001b[2J","Provider":7,"Commits":[{{commits}},3,null]}""");
        Assert.Equal(100, read.StationName.Length);
        Assert.Equal("", read.Provider);
        Assert.Equal(ExchangeNumbers.MostCommits, read.Commits.Count);
        Assert.All(read.Commits, c => Assert.Equal(0, c.Bytes));
        Assert.DoesNotContain('\u001b', Read("""{"Type":"MVR_JOIN","StationName":"a\u001b[2Jb"}""").StationName);
    }

    [Theory]
    [InlineData("")]
    [InlineData("null")]
    [InlineData("[]")]
    [InlineData("{}")]
    [InlineData("{\"Type\":5}")]
    [InlineData("{\"Type\":\"MVR_JOIN\"")]
    [InlineData("{\"Type\":\"MVR_JOIN\",\"A\":[[[[[[[[[[]]]]]]]]]]}")]
    [InlineData("{\"Type\":\"\\ud800\"}")]
    public void What_is_no_message_is_refused_in_words(string json)
    {
        Assert.False(ExchangeMessage.TryRead(Encoding.UTF8.GetBytes(json), out _, out var why));
        Assert.NotEmpty(why);
    }

    private static ExchangeMessage Read(string json) => Read(Encoding.UTF8.GetBytes(json));

    private static ExchangeMessage Read(byte[] bytes)
    {
        Assert.True(ExchangeMessage.TryRead(bytes, out var message, out var why), why);
        return message;
    }
}
