using StageView.Wire.Datagrams;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Levels;

/// <summary>The table of <c>src/StageView.Wire/Levels/README.md</c>: who is heard, address by address.</summary>
public sealed class MergeTableTests
{
    private static TimeSpan Ms(int milliseconds) => TimeSpan.FromMilliseconds(milliseconds);

    // Steps, one a line: "time source what", expected levels of addresses 1, 2, 3 after all of them. Sources a, b, c speak E1.31, x, y, z Art-Net.
    // "a 10,20,30 p150" sends levels at priority 150; "a pap 0,100,200" per-address priority; "a end" terminates; "wait" lets time pass.
    [Theory]
    [InlineData("HTP", false, "0 a 10,20,30", "10 20 30")]
    [InlineData("HTP", false, "0 a 10,20,30|0 b 20,10,30", "20 20 30")]
    [InlineData("HTP", false, "0 a 10,20,30 p100|0 b 1,2,3 p101", "1 2 3")]
    [InlineData("HTP", false, "0 a 10,20,30 p100|0 b 1,2,3 p101|10 a 11,21,31 p100", "1 2 3")]
    [InlineData("HTP", false, "0 a 10,20,30 p0|0 b 1,2,3 p0", "10 20 30")]
    [InlineData("HTP", false, "0 a 10,20,30 p100|0 b 1,2,3 p100|10 b 1,2,3 p99", "10 20 30")]
    [InlineData("HTP", false, "0 a 10,20,30 p100|0 b 1,2 p101", "1 2 30")] // b is shorter: it does not source address 3
    [InlineData("HTP", false, "0 a 10,20,30 p100|0 b 1,2,3 p101|2499 a 10,20,30 p100|2499 wait", "1 2 3")]
    [InlineData("HTP", false, "0 a 10,20,30 p100|0 b 1,2,3 p101|2400 a 10,20,30 p100|2500 wait", "10 20 30")] // b fell silent
    [InlineData("HTP", false, "0 a 10,20,30 p100|0 b 1,2,3 p101|5 b end", "10 20 30")]
    [InlineData("HTP", false, "0 a 10,20,30|9000 wait", "10 20 30")] // the last look is held
    [InlineData("HTP", false, "0 a 10,20,30|9000 b 1,2,3", "1 2 3")]
    [InlineData("LTP", false, "0 a 10,20,30|5 b 20,10,30", "20 10 30")]
    [InlineData("LTP", false, "0 a 10,20,30|5 b 20,10,30|9 a 10,21,30", "20 21 30")] // a changed address 2 alone
    [InlineData("LTP", false, "0 a 10,20,30|5 b 20,10,30|9 a 10,20,30", "20 10 30")] // repeating is no change
    [InlineData("LTP", false, "0 a 10,20,30 p100|5 b 1,2,3 p99", "10 20 30")] // priority first
    [InlineData("LTP", false, "0 a 10,20,30|5 b 20,10,30|6 b end", "10 20 30")]
    [InlineData("HTP", true, "0 a 10,20,30", "- - -")] // waits 1.5 s for per-address priority
    [InlineData("HTP", true, "0 a 10,20,30|1499 a 10,20,30|1499 wait", "- - -")]
    [InlineData("HTP", true, "0 a 10,20,30|1499 a 10,20,30|1500 wait", "10 20 30")]
    [InlineData("HTP", true, "0 a pap 100,100,100|1 a 10,20,30", "10 20 30")]
    [InlineData("HTP", true, "0 a pap 100,0,100|1 a 10,20,30", "10 0 30")] // 0: not sourced
    [InlineData("HTP", true, "0 a pap 100,0,200|1 a 10,20,30|1 b pap 150,1,150|2 b 1,2,3", "1 2 30")]
    [InlineData("HTP", true, "0 a pap 100,100|1 a 10,20,30|1 b pap 50,50,50|2 b 1,2,3", "10 20 3")] // missing means 0
    [InlineData("HTP", true,
        "0 a pap 200,200,200|1 a 10,20,30 p1|0 b pap 100,100,100|1 b 90,90,90 p200|2400 a 10,20,30 p1|2400 b 90,90,90 p200|2500 b pap 100,100,100",
        "90 90 90")] // a's fell away: its own priority 1 counts
    [InlineData("HTP", false, "0 a 10,20,30|1 a pap 0,0,0", "10 20 30")] // off unless asked
    [InlineData("HTP", false, "0 x 10,20,30|1 y 20,10,30", "20 20 30")]
    [InlineData("HTP", false, "0 x 10,20,30|1 y 20,10,30|2 z 99,99,99", "20 20 30")] // a third Art-Net source is ignored
    [InlineData("HTP", false, "0 x 10,20,30|1 y 20,10,30|9000 x 10,20,30|10001 wait", "10 20 30")] // y held for 10 s
    [InlineData("HTP", false, "0 x 10,20,30|1 y 20,10,30|9000 x 10,20,30|10000 wait", "20 20 30")]
    [InlineData("HTP", false, "0 x 10,20,30|1 y 20,10,30|30000 wait", "20 10 30")] // x goes at 10 s, y a millisecond later: its last levels are held
    [InlineData("HTP", false, "0 x 10,20,30|1 a 20,10,30", "20 20 30")] // Art-Net counts as priority 100
    [InlineData("HTP", false, "0 x 10,20,30|1 a 1,2,3 p101", "1 2 3")]
    [InlineData("HTP", false, "0 x 10,20,30|1 a 1,2,3 p99", "10 20 30")]
    public void Levels_after(string tie, bool perAddress, string steps, string expected)
    {
        var merger = Play(tie, perAddress, steps);
        Assert.Equal(expected, Show(merger));
    }

    private static UniverseMerger Play(string tie, bool perAddress, string steps)
    {
        var merger = new UniverseMerger(new WireSettings { Tie = tie == "HTP" ? TieRule.Htp : TieRule.Ltp, PerAddressPriority = perAddress },
            new RecordingSink());
        var sequence = new Dictionary<char, byte>();
        foreach (var step in steps.Split('|'))
        {
            var words = step.Split(' ');
            var at = Ms(int.Parse(words[0]));
            if (words[1] == "wait")
            {
                merger.Advance(at);
                continue;
            }

            var who = words[1][0];
            var next = sequence[who] = (byte)(sequence.GetValueOrDefault(who) + 1);
            var from = SourceAddress.IPv4(0x0A00_0000u + who, 5568);
            byte[] packet;
            if (words[2] == "end")
            {
                packet = Packets.Data(who, 1, next, [0, 0, 0], terminated: true);
            }
            else if (words[2] == "pap")
            {
                packet = Packets.Data(who, 1, next, Numbers(words[3]), startCode: 0xDD);
            }
            else if (who >= 'x')
            {
                packet = Packets.ArtDmx(0, next, Numbers(words[2]));
            }
            else
            {
                packet = Packets.Data(who, 1, next, Numbers(words[2]), words.Length > 3 ? byte.Parse(words[3][1..]) : (byte)100);
            }

            merger.Receive(at, from, packet);
        }

        return merger;
    }

    private static byte[] Numbers(string text) => [.. text.Split(',').Select(byte.Parse)];

    private static string Show(UniverseMerger merger) =>
        merger.TryGetLevels(new UniverseNumber(1), out var levels) ? $"{levels[0]} {levels[1]} {levels[2]}" : "- - -";
}
