using System.Net;
using System.Net.Sockets;
using System.Numerics;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Network;
using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Live.Terms;
using StageView.Wire.ArtNet;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Live.Tests.Shown;

/// <summary>The joined show without its server: rig and venue files, sockets and clocks that come and go.</summary>
public sealed partial class LiveShowTests : IDisposable
{
    private const string VenueText = """{ "name": "A low house", "move": [{ "what": "spot", "trim": 1.5, "why": "low roof" }] }""";
    private readonly RigCopy _copy = new("one-mirror");
    private readonly JumpingClock _clock = new();
    private readonly NightJournal _journal;

    public LiveShowTests() => _journal = new NightJournal(_clock);

    public void Dispose() => _copy.Dispose();

    [Fact]
    public async Task A_venue_file_is_laid_over_the_rig_and_watched()
    {
        var venue = Path.Combine(_copy.Folder, "house.venue.jsonc");
        await File.WriteAllTextAsync(venue, VenueText, TestContext.Current.CancellationToken);
        using var show = Start(venue: venue);
        Assert.Equal(1.5f, show.Rig.Fixtures[0].At[2]);
        await File.WriteAllTextAsync(venue, VenueText.Replace("1.5", "1.25", StringComparison.Ordinal), TestContext.Current.CancellationToken);
        await Becomes(() => show.Rig.Fixtures[0].At[2] == 1.25f);
        await File.WriteAllTextAsync(venue, VenueText.Replace("1.5", "low", StringComparison.Ordinal), TestContext.Current.CancellationToken);
        await Becomes(() => show.State().Fault?.Lines[0].File.EndsWith("house.venue.jsonc", StringComparison.Ordinal) == true);
        Assert.Equal(1.25f, show.Rig.Fixtures[0].At[2]);
    }

    [Fact]
    public async Task A_fixture_under_a_venue_is_moved_in_the_tours_own_file()
    {
        var venue = Path.Combine(_copy.Folder, "house.venue.jsonc");
        await File.WriteAllTextAsync(venue, """{ "name": "A wide house", "move": [{ "what": "spot", "by": [1, 0, 0] }] }""",
            TestContext.Current.CancellationToken);
        using var show = Start(venue: venue);
        Assert.Equal([1, 0, 2], show.Rig.Fixtures[0].At);
        var answer = show.Move(show.Rig.Fixtures[0].Name, new Vector3(3, 0, 2));
        Assert.True(answer.Ok, answer.Text);
        Assert.Contains("\"at\": [2, 0, 2]", await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    [Fact]
    public async Task After_a_sleep_that_only_the_wall_clock_saw_listening_is_begun_anew_and_levels_come_again()
    {
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var show = Start(sacn, artNet);
        using var sender = new Sender(sacn);
        await Becomes(() => Level(show) == 200, () => sender.Send(200));
        _clock.Asleep(TimeSpan.FromHours(7));
        await Becomes(() => Says("asleep for 7:00:0") && Says("listening at", times: 2));
        await Becomes(() => Level(show) == 90, () => sender.Send(90));
        Assert.Contains(_journal.Newest(50), e => e.At.Hour != _journal.Newest(50)[0].At.Hour);
    }

    [Fact]
    public async Task A_rig_file_that_lost_a_profile_is_read_again_when_the_profile_is_back()
    {
        using var show = Start();
        var profile = Path.GetFullPath(Path.Combine(_copy.Folder, "../../assets/fixtures/front-profile.fixture.jsonc"));
        var text = await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(_copy.File, text.Replace("front-profile", "lost-profile", StringComparison.Ordinal),
            TestContext.Current.CancellationToken);
        await Becomes(() => show.State().Fault?.Lines[0].Text.Contains("lost-profile", StringComparison.Ordinal) == true);
        var version = show.Rig.Version;
        File.Copy(profile, profile.Replace("front-profile", "lost-profile", StringComparison.Ordinal));
        await Becomes(() => show.State().Fault is null && show.Rig.Version > version);
    }

    [Fact]
    public async Task Other_network_settings_in_the_rig_file_are_followed_at_once()
    {
        using var show = Start();
        var text = await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(_copy.File,
            text.Replace("\"haze\":", "\"network\": { \"listen\": [\"127.0.0.9\"] },\n  \"haze\":", StringComparison.Ordinal),
            TestContext.Current.CancellationToken);
        await Becomes(() => show.State().Network.Listening.SequenceEqual(["127.0.0.1", "127.0.0.9"]));
        Assert.True(Says("network settings changed"));
    }

    [Fact]
    public async Task An_address_that_this_machine_lacks_holds_up_no_other()
    {
        using var show = Start(listen: "192.0.2.77");
        await Becomes(() => show.State().Network.Listening.SequenceEqual(["127.0.0.1"]));
        Assert.Contains("no address 192.0.2.77", show.State().Network.Trouble, StringComparison.Ordinal);
        Assert.True(Says("192.0.2.77 is waited for"));
    }

    [Fact]
    public async Task The_network_is_written_down_while_no_page_is_open()
    {
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var show = Start(sacn, artNet);
        using var one = new Sender(sacn);
        using var two = new Sender(sacn);
        await Becomes(() => Says("fight at equal priority"), () =>
        {
            one.Send(10);
            two.Send(240);
        });
        await Becomes(() => Says("over: "), () => one.Send(10));
        await Becomes(() => Says("stopped sending", times: 2));
    }

    [Fact]
    public async Task Recording_goes_on_when_listening_is_begun_anew()
    {
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var show = Start(sacn, artNet);
        using var sender = new Sender(sacn);
        Assert.True(show.Record(true).Ok);
        await Becomes(() => show.State().Recorder.Bytes > 5000, () => sender.Send(50));
        _clock.Asleep(TimeSpan.FromMinutes(30));
        await Becomes(() => Says("listening at", times: 2));
        var before = show.State().Recorder.Bytes;
        await Becomes(() => show.State().Recorder.Bytes > before + 5000, () => sender.Send(60));
        Assert.True(show.Record(false).Ok);
        var listed = System.Text.Json.JsonSerializer.SerializeToElement(show.Shelves().Data, LiveJson.Options).GetProperty("captures")[0].GetProperty("seconds")
            .GetDouble();
        var heard = Wire.Capture.CaptureReader.Read(Assert.Single(Directory.GetFiles(Path.Combine(_copy.Folder, "recordings")))).Select(d => d.At).ToList();
        Assert.Equal(heard.Order(), heard);
        Assert.True(heard[0] >= TimeSpan.Zero);
        Assert.Equal(heard[^1].TotalSeconds, listed, .002);
    }

    [Fact]
    public async Task A_look_stands_in_for_the_console_and_a_light_into_the_audience_is_cautioned()
    {
        var text = await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(_copy.File,
            text.Replace("\"haze\":", "\"volumes\": [{ \"name\": \"stalls\", \"kind\": \"audience\", \"at\": [0, 4, 0.5], \"size\": [3, 3, 1] }],\n  \"haze\":",
                StringComparison.Ordinal), TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(Path.Combine(_copy.Folder, "full.look.jsonc"), """{ "set": [{ "fixtures": "1", "dimmer": 1 }] }""",
            TestContext.Current.CancellationToken);
        using var show = Start();
        Assert.Empty(show.State().Cautions.Rows);
        Assert.False(show.TryLook("../full").Ok);
        Assert.True(show.TryLook("full").Ok);
        await Becomes(() => show.State().Source == "look");
        var card = (FixtureCard)show.Fixture(show.Rig.Fixtures[0].Name).Data!;
        Assert.Contains(card.Landings, l => l.Path == "mirror" && l.Lux > 100);
        await Becomes(() => show.State().Cautions.Rows.Any(c =>
            c.Text.StartsWith("spot off a mirror shines into stalls (audience)", StringComparison.Ordinal)));
        Assert.True(show.Listen().Ok);
        await Becomes(() => show.State().Source == "network");
        Assert.Empty(((FixtureCard)show.Fixture(show.Rig.Fixtures[0].Name).Data!).Landings);
    }

    // The rig has no volumes, so that nothing can be said of light where people may be; a strobe is found all the same, with its limit.
    [Fact]
    public async Task The_page_says_that_nothing_could_be_checked_and_lists_a_strobe()
    {
        var text = await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(_copy.File, text.Replace("front-profile", "spot-head", StringComparison.Ordinal), TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(Path.Combine(_copy.Folder, "flash.look.jsonc"),
            """{ "set": [{ "fixtures": "1", "dimmer": 1, "strobe": 15 }] }""", TestContext.Current.CancellationToken);
        using var show = Start();
        await Becomes(() => show.State().Cautions.Nothing is { } why && why.Contains("could not be checked", StringComparison.Ordinal));
        Assert.Contains(show.State().Cautions.NotLooked, n => n.Contains("names no volumes", StringComparison.Ordinal));
        Assert.Empty(show.State().Cautions.Rows);
        var tried = show.TryLook("flash");
        Assert.True(tried.Ok, tried.Text);
        await Becomes(() => show.State().Cautions.Rows.Any(c => c.Kind == "strobe" && c.Text.Contains("times a second, by lens_Shutter1")));
        Assert.Contains(show.State().Cautions.Looked, l => l.Contains("strobe 4 flashes/s", StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_landing_aslant_is_told_on_the_surface_and_square_to_the_beam()
    {
        var text = await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(_copy.File, text.Replace("\"aim\": [0, 4, 2]", "\"aim\": [0, 4, 0]", StringComparison.Ordinal),
            TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(Path.Combine(_copy.Folder, "full.look.jsonc"), """{ "set": [{ "fixtures": "1", "dimmer": 1 }] }""",
            TestContext.Current.CancellationToken);
        using var show = Start();
        Assert.True(show.TryLook("full").Ok);
        var landing = ((FixtureCard)show.Fixture(show.Rig.Fixtures[0].Name).Data!).Landings.First(l => l.Path.Length == 0);

        // From 2 m up to 4 m away: the floor stands atan(4 / 2) from square.
        Assert.Equal(63.43, landing.IncidenceDegrees, .5);
        Assert.Equal(landing.Lux * Math.Sqrt(5), landing.SquareLux, .02 * landing.SquareLux);
        Assert.InRange(landing.SquareSpot, .2 * landing.SpotWidth, .6 * landing.SpotWidth);
    }

    [Fact]
    public async Task A_look_without_a_line_that_can_be_used_is_refused_and_the_network_stays()
    {
        await File.WriteAllTextAsync(Path.Combine(_copy.Folder, "broken.look.jsonc"),
            """{ "set": [{ "fixtures": "nobody", "dimmer": 1 }, { "fixtures": "1", "dimmmer": 1 }] }""", TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(Path.Combine(_copy.Folder, "half.look.jsonc"),
            """{ "set": [{ "fixtures": "nobody", "dimmer": 1 }, { "fixtures": "1", "dimmer": 1 }] }""", TestContext.Current.CancellationToken);
        using var show = Start();
        var answer = show.TryLook("broken");
        Assert.False(answer.Ok);
        Assert.Matches(@"^broken is not tried: no line of it can be used: broken\.look\.jsonc:1: \$\.set\[0\]\.fixtures.* \(and 1 more\)$", answer.Text);
        Assert.Equal("network", show.State().Source);
        Assert.True(Says("the look broken is not tried: no line of it can be used: broken.look.jsonc:1: $.set[0].fixtures"));
        Assert.True(show.TryLook("half").Ok);
        Assert.True(Says("trying the look half, without: half.look.jsonc:1: $.set[0].fixtures"));
        Assert.False(show.TryLook("broken").Ok);
        await Becomes(() => show.State() is { Source: "look", SourceName: "half" });
    }

    [Fact]
    public async Task A_look_that_fits_the_rig_no_more_gives_way_to_the_network()
    {
        await File.WriteAllTextAsync(Path.Combine(_copy.Folder, "full.look.jsonc"), """{ "set": [{ "fixtures": "1", "dimmer": 1 }] }""",
            TestContext.Current.CancellationToken);
        using var show = Start();
        Assert.True(show.TryLook("full").Ok);
        var text = await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(_copy.File, text.Replace("\"number\": 1,", "\"number\": 9,", StringComparison.Ordinal),
            TestContext.Current.CancellationToken);
        await Becomes(() => Says("the look full is no longer tried, the network is shown: no line of it can be used: full.look.jsonc:1: $.set[0].fixtures"));
        await Becomes(() => show.State().Source == "network");
    }

    [Fact]
    public async Task A_look_that_is_tried_is_read_again_when_it_is_saved_and_the_last_good_one_stays_on_a_fault()
    {
        var file = Path.Combine(_copy.Folder, "full.look.jsonc");
        await Save(file, """{ "set": [{ "fixtures": "1", "dimmer": 1 }] }""");
        using var show = Start();
        Assert.True(show.TryLook("full").Ok);
        double Lux() => ((FixtureCard)show.Fixture(show.Rig.Fixtures[0].Name).Data!).Landings.Sum(l => l.Lux);
        var full = Lux();
        Assert.True(full > 100);
        await Save(file, """{ "set": [{ "fixtures": "1", "dimmer": 0.5 }] }""");
        await Becomes(() => Says("the look full was saved and is read again"));
        var half = Lux();
        Assert.InRange(half, 1, .9 * full);
        await Save(file, """{ "set": [{ "fixtures": "1" "dimmer": 0 }] }""");
        await Becomes(() => Says("the look full was saved and can't be used: no line of it can be used: full.look.jsonc:1: $: error: not valid JSON")
            && Says("comma may be missing at the end of line 1. (the last good one stays)"));
        Assert.Equal(half, Lux());
        await Save(file, """{ "set": [{ "fixtures": "1", "dimmer": 1 }] }""");
        await Becomes(() => Math.Abs(Lux() - full) < 1);

        // Left alone once something else is shown.
        Assert.True(show.Listen().Ok);
        await Save(file, "{}");
        await Task.Delay(300, TestContext.Current.CancellationToken);
        Assert.Equal("network", show.State().Source);
        Assert.False(Says("can't be used", times: 2));
    }

    [Theory]
    [InlineData("read again in")]
    [InlineData("the size asked for is reached")]
    public async Task A_thread_that_a_slow_disk_holds_when_the_show_ends_comes_to_its_own_end(string held)
    {
        using var disk = new ManualResetEventSlim();
        Thread? slow = null;
        _journal.Added += e =>
        {
            if (e.Text.Contains(held, StringComparison.Ordinal))
            {
                Volatile.Write(ref slow, Thread.CurrentThread);
                disk.Wait();
            }
        };
        using (IDisposable show = held == "read again in" ? Start() : Recording())
        {
            await File.AppendAllTextAsync(_copy.File, "\n", TestContext.Current.CancellationToken);
            await Becomes(() => Volatile.Read(ref slow) is not null);
            if (show is NightRecorder recorder)
            {
                // Pages still hear of it.
                Assert.False(await Task.Run(() => recorder.State().On, TestContext.Current.CancellationToken).WaitAsync(TimeSpan.FromMinutes(1),
                    TestContext.Current.CancellationToken));
            }
        }

        // Let through only now: the one who ended the show waited a while for it, and no longer. An exception would end the process.
        disk.Set();
        Assert.True(slow!.Join(TimeSpan.FromSeconds(30)));

        NightRecorder Recording()
        {
            var recorder = new NightRecorder(_copy.Folder, _clock, _journal, mostBytes: 1);
            Assert.True(recorder.Start().Ok);
            var packet = new byte[ArtTimeCode.Length];
            ArtTimeCode.Write(packet, Timecode.FromFrameNumber(0, TimecodeRate.Ebu25));
            recorder.OnDatagram(default, default, default, packet);
            return recorder;
        }
    }

    [Fact]
    public void An_aim_finds_ways_straight_over_mirrors_over_two_and_by_turning_one()
    {
        using var foundry = new RigCopy("foundry");

        // The search gives up after a while, sooner than a busy machine has done it: its clock stands still.
        using var show = new LiveShow(
            new LiveShowOptions
            {
                RigFile = foundry.File, Recordings = foundry.Folder, Looks = foundry.Folder, E131Port = FreePort.Udp(), ArtNetPort = FreePort.Udp(),
            },
            _journal,
            new FakeTimeProvider());
        var card = (AimCard)show.Aim("down head 1", new Vector3(3, -8, 1.5f)).Data!;
        Assert.Contains(card.Ways, w => w.Via == "direct");
        Assert.Contains(card.Ways, w => w.Via.StartsWith("panel wall", StringComparison.Ordinal));
        Assert.All(card.Ways, w => Assert.Matches(@"^Pan 3\.\d+/3\.\d+ = \d+/\d+$", w.Dmx[0]));
        Assert.Contains(card.Ways, w => w.Via == "panel 1/mirror" && w.Turned.Single().StartsWith("panel 1: pan ", StringComparison.Ordinal));
        Assert.Contains(card.Ways, w => w.Via.StartsWith("panel 1/mirror, then panel wall", StringComparison.Ordinal) && w.Turned.Count == 1
            && w.ArrivesShare < .5);
        Assert.Contains(card.Refusals, r => r.StartsWith("by way of high sheet: the way misses", StringComparison.Ordinal));
        Assert.Equal(card.Ways.Select(w => w.MoveSeconds).Order(), card.Ways.Select(w => w.MoveSeconds));

        // A fixture that hangs still is refused once, not for every mirror.
        var still = (AimCard)show.Aim("front 1", new Vector3(0, 0, 1)).Data!;
        Assert.Equal("it has no pan or tilt", Assert.Single(still.Refusals));
        Assert.Empty(still.Ways);
    }

    private LiveShow Start(int sacn = 0, int artNet = 0, string? venue = null, string? listen = null) => new(
        new LiveShowOptions
        {
            RigFile = _copy.File, Venue = venue, Recordings = Path.Combine(_copy.Folder, "recordings"), Looks = _copy.Folder,
            LookAtFiles = TimeSpan.FromMilliseconds(40),
            Listen = listen is null ? [] : [listen], E131Port = sacn == 0 ? FreePort.Udp() : sacn, ArtNetPort = artNet == 0 ? FreePort.Udp() : artNet,
        },
        _journal, _clock);

    /// <summary>Saves as careful editors do: who looks while a file is written in its place may find it empty, and the journal has a line for that.</summary>
    private static async Task Save(string file, string text)
    {
        await File.WriteAllTextAsync(file + ".new", text, TestContext.Current.CancellationToken);
        File.Move(file + ".new", file, overwrite: true);
    }

    private bool Says(string text, int times = 1) => _journal.Newest(1000).Count(e => e.Text.Contains(text, StringComparison.Ordinal)) >= times;

    /// <summary>Level of the fixture's first address.</summary>
    private static long Level(LiveShow show) =>
        ((FixtureCard)show.Fixture(show.Rig.Fixtures[0].Name).Data!).Channels.First(c => c.Address == "1.1") is { Full: > 255 } wide ? wide.Raw >> 8 : -1;

    private async Task Becomes(Func<bool> holds, Action? meanwhile = null)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromSeconds(60), "it never came about; the journal says:\n" + _journal.ToText());
            meanwhile?.Invoke();
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }

    /// <summary>The system's clocks, the wall's set on by hand.</summary>
    private sealed class JumpingClock : TimeProvider
    {
        private TimeSpan _ahead;

        public void Asleep(TimeSpan span) => _ahead += span;

        public override DateTimeOffset GetUtcNow() => base.GetUtcNow() + _ahead;
    }

    private sealed class Sender(int port) : IDisposable
    {
        private readonly Socket _socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        private readonly Cid _cid = Cid.From(Guid.NewGuid());
        private byte _sequence;

        public void Send(byte level)
        {
            Span<byte> levels = stackalloc byte[512];
            levels.Fill(level);
            Span<byte> packet = stackalloc byte[E131Numbers.LongestDataPacket];
            var length = E131Writer.Write(packet,
                new E131DataPacket
                {
                    Cid = _cid, SourceName = "test desk"u8, Priority = 100, Universe = new UniverseNumber(1), Sequence = _sequence++, Levels = levels,
                });
            _socket.SendTo(packet[..length], new IPEndPoint(IPAddress.Loopback, port));
        }

        public void Dispose() => _socket.Dispose();
    }
}
