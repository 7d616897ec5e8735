using System.Diagnostics;
using System.Text.Json;

namespace StageView.App.Tests.Live;

/// <summary>The real command beside an independent sender whose frames come more than once.</summary>
[Collection(LiveMachine.Name)]
public sealed class LoopTests
{
    /// <summary>The machine listens at two addresses on one interface, and takes each packet once.</summary>
    [Theory]
    [InlineData(1, 0, false)]
    [InlineData(2, .07, true)]
    public async Task A_loop_is_told_and_a_good_switch_and_two_addresses_are_not(int times, double delay, bool told)
    {
        using var spaces = NetworkSpaces.Make();
        spaces.AddAddress("10.77.9.11");
        using var loop = new FaultySwitch(spaces, times, delay);
        using var desk = new Desk(5568, "multicast:10.77.9.3", loop.Space);
        desk.Set(1, (1, 255));
        var text = await Watch(spaces, "doubled", told ? null : 16);
        Assert.Equal(told, text?.Contains("'independent desk' at 10.77.9.3 come again", StringComparison.Ordinal) ?? false);
    }

    [Fact]
    public async Task Two_desks_with_one_CID_are_told_with_both_addresses()
    {
        using var spaces = NetworkSpaces.Make();
        spaces.AddAddress("10.77.9.11");
        using var good = new FaultySwitch(spaces, 1, 0);
        const string Cid = "0123456789abcdef0123456789abcdef";
        using var one = new Desk(5568, NetworkSpaces.Here, spaces.Console, Cid);
        using var two = new Desk(5568, NetworkSpaces.Here, good.Space, Cid);
        one.Set(1, (1, 255));
        two.Set(1, (1, 20));
        var text = await Watch(spaces, "sharedCid", null);
        Assert.Contains("10.77.9.2:", text, StringComparison.Ordinal);
        Assert.Contains("10.77.9.3:", text, StringComparison.Ordinal);
    }

    /// <summary>Watches until a kind of finding stands, or for some looks after the first packets.</summary>
    /// <returns>The finding's words; null when it never stood.</returns>
    private static async Task<string?> Watch(NetworkSpaces spaces, string kind, int? looks)
    {
        using var copy = new RigCopy("one-mirror");
        using var watch = Process.Start(new ProcessStartInfo("ip")
        {
            ArgumentList =
            {
                "netns", "exec", spaces.Machine, "dotnet", Path.Combine(AppContext.BaseDirectory, "stageview.dll"), "watch", copy.File, "--address",
                NetworkSpaces.Here, "--address", "10.77.9.11", "--json",
            },
            RedirectStandardOutput = true,
        })!;
        try
        {
            for (var after = 0; ;)
            {
                var line = await watch.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken);
                Assert.NotNull(line);
                var look = JsonDocument.Parse(line).RootElement;
                after += look.GetProperty("health").GetProperty("taken").GetInt64() > 100 ? 1 : 0;
                var found = look.GetProperty("findings").EnumerateArray()
                    .FirstOrDefault(f => string.Equals(f.GetProperty("kind").GetString(), kind, StringComparison.OrdinalIgnoreCase));
                if (found.ValueKind == JsonValueKind.Object)
                {
                    Assert.True(found.GetProperty("stands").GetBoolean());
                    return found.GetProperty("text").GetString();
                }

                if (after >= looks)
                {
                    return null;
                }

                Assert.True(after < 240, line);
            }
        }
        finally
        {
            watch.Kill(entireProcessTree: true);
        }
    }
}
