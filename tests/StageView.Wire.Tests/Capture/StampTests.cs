using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Capture;

/// <summary>Stamps that a clock wrote wrongly: time goes on as the packets did.</summary>
public sealed class StampTests
{
    private const int Count = 400;

    private static string Written(Func<int, TimeSpan> wrong)
    {
        var path = Tools.TempFile("stamps.pcapng");
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));
        for (var i = 0; i < Count; i++)
        {
            writer.Write(TimeSpan.FromMilliseconds(25 * i) + wrong(i), Packets.Console1, SourceAddress.IPv4(0xEFFF_0001u, 5568),
                Packets.Data(1, 1, (byte)i, Packets.Levels(4, (byte)(i / 2))));
        }

        return path;
    }

    private static (List<double> At, string? Problem) Times(string path)
    {
        using var reader = CaptureReader.Open(path);
        var at = new List<double>();
        while (reader.TryRead(out var datagram))
        {
            at.Add(datagram.At.TotalSeconds);
        }

        return (at, reader.ClockProblem);
    }

    public static TheoryData<int, int, double> Ahead => new() { { 10, 1, 86_400 }, { 200, 3, 30 }, { 399 - 1, 1, 1e6 }, { 1, 1, 3600 }, { 0, 1, 3600 },
        { 150, 1, -3600 }, { 20, 4, -1e5 }, { 300, 2, -1e7 }, { 0, 1, -1e7 } };

    [Theory]
    [MemberData(nameof(Ahead))]
    public void Some_wrong_stamps_move_nothing_else(int first, int count, double by)
    {
        var path = Written(i => i >= first && i < first + count ? TimeSpan.FromSeconds(by) : TimeSpan.Zero);
        var (times, problem) = Times(path);
        Assert.Equal(Count, times.Count);
        Assert.NotNull(problem);
        for (var i = 0; i < Count; i++)
        {
            // Those with a wrong stamp count as of the one before; where the first is wrong, the others follow from it.
            Assert.InRange(times[i], (0.025 * i) - (0.025 * count) - 1e-6, (0.025 * i) + 1e-6);
        }

        // By the index it is the same.
        var index = CaptureIndex.Open(path);
        Assert.Equal(times[^1], index.Length.TotalSeconds, 6);
        foreach (var time in new[] { 0.5, 3.0, 5.1, 9.7 })
        {
            Assert.Equal(Level(path, null, time), Level(path, index, time));
            Assert.InRange(Level(path, null, time), (time / 0.05) - 1.5, (time / 0.05) + 1.5);
        }
    }

    [Fact]
    public void Where_the_clock_is_set_back_time_goes_on()
    {
        var path = Written(i => i < 200 ? TimeSpan.FromHours(1) : TimeSpan.Zero);
        var (times, problem) = Times(path);
        Assert.Contains("go back by 3599.", problem, StringComparison.Ordinal);
        Assert.Equal(times.Order(), times);
        Assert.InRange(times[^1], 9.9, 9.98);
        var index = CaptureIndex.Open(path);
        Assert.Equal(Level(path, null, 8), Level(path, index, 8));
    }

    [Fact]
    public void A_long_pause_is_one_and_a_little_disorder_is_left()
    {
        var (times, problem) = Times(Written(i => i < 200 ? TimeSpan.FromMilliseconds(i % 3 == 0 ? 60 : 0) : TimeSpan.FromHours(2)));
        Assert.Null(problem);
        Assert.InRange(times[200], 7204, 7206);
    }

    private static byte Level(string path, CaptureIndex? index, double time)
    {
        using var reader = CaptureReader.Open(path);
        var merger = new UniverseMerger(WireSettings.Default);
        var player = new CapturePlayer(reader, merger);
        if (index is null)
        {
            player.PlayTo(TimeSpan.FromSeconds(time));
        }
        else
        {
            player.SeekTo(index, TimeSpan.FromSeconds(time));
        }

        return merger.TryGetLevels(new UniverseNumber(1), out var levels) ? levels[0] : throw new InvalidOperationException("no levels");
    }
}
