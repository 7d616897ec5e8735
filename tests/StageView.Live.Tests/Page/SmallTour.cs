using StageView.Live.Night;
using StageView.Live.Server;
using StageView.Live.Shown;
using StageView.Live.Terms;
using StageView.Show.Refocus;

namespace StageView.Live.Tests.Page;

/// <summary>Four heads, a mirror and two looks in a folder, refocused for a lower hall; a live show over them behind the real server, drawn grey.</summary>
internal sealed class SmallTour : IDisposable
{
    private const string Rig = """
        {
          "name": "Small tour", "profiles": ["PROFILES"], "bounces": 1, "haze": { "extinction": 0.001 },
          "cameras": [{ "name": "house", "at": [0, -14, 4], "lookAt": [0, 3, 3], "fieldOfView": 50, "ev": 7 }],
          "parts": [
            { "name": "truss", "at": [0, 0, 8], "hangs": [
              { "name": "head 1", "profile": "spot-head", "number": 1, "at": [-3, 0, 0], "patch": "1.1" },
              { "name": "head 2", "profile": "spot-head", "number": 2, "patch": "1.101" },
              { "name": "head 3", "profile": "spot-head", "number": 3, "at": [3, 0, 0], "patch": "1.201" }] },
            { "name": "boom", "at": [6, 0, 5], "hangs": [{ "name": "side", "profile": "spot-head", "number": 4, "patch": "1.301" }] }],
          "mirrors": [{ "name": "panel", "at": [0, 9, 5], "size": [8, 6] }],
          "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
        }
        """;

    /// <summary>How much lower the truss hangs is the word DROP, m.</summary>
    private const string Venue = """
        {
          "name": "Low hall",
          "move": [{ "what": "truss", "by": [0, 0, DROP] }],
          "scenery": [{ "name": "flat", "shape": "box", "at": [2.5, 2.5, 2], "size": [1.5, 0.1, 4] }],
          "remove": ["boom"]
        }
        """;

    private readonly TempFolder _folder = new();

    public SmallTour()
    {
        Directory.CreateDirectory(_folder["looks"]);
        _folder.File("small.rig.jsonc", Rig.Replace("PROFILES", Repo.File("assets", "fixtures"), StringComparison.Ordinal));
        Lower("-1");
        _folder.File("looks/one.look.jsonc", """
            { "set": [
              { "fixtures": "head 1", "dimmer": 1, "zoom": 8, "aim": [-2, 5, 0] },
              { "fixtures": "head 2", "dimmer": 1, "zoom": 8, "aim": { "mirror": "panel", "from": [0.5, 0, 0], "to": [0.5, 0, 0] } },
              { "fixtures": "head 3", "dimmer": 1, "zoom": 8, "aim": [2, 5, 0] },
              { "fixtures": "side", "dimmer": 1, "zoom": 8, "aim": [3, 4, 0] }] }
            """);
        _folder.File("looks/two.look.jsonc", """{ "set": [{ "fixtures": "head 1", "dimmer": 1, "zoom": 8, "aim": [-1, 3, 0] }] }""");
    }

    public RefocusRequest Request => new() { RigFile = _folder["small.rig.jsonc"], Venue = _folder["low.venue.jsonc"], Looks = _folder["looks"] };

    /// <summary>The file that keeps the ticks.</summary>
    public string Ticks => _folder["small.low.focused.json"];

    /// <summary>Saves the venue with the truss moved by that, m, as careful editors do.</summary>
    public void Lower(string by)
    {
        File.WriteAllText(_folder["low.venue.jsonc.new"], Venue.Replace("DROP", by, StringComparison.Ordinal));
        File.Move(_folder["low.venue.jsonc.new"], _folder["low.venue.jsonc"], overwrite: true);
    }

    /// <summary>A live show of it, without or with the positions to refocus.</summary>
    public async Task<Running> Live(bool refocus = true)
    {
        var running = new Running(new LiveShowOptions
        {
            RigFile = Request.RigFile, Venue = Request.Venue, Recordings = _folder["recordings"], Looks = _folder["looks"],
            LookAtFiles = TimeSpan.FromMilliseconds(40), E131Port = FreePort.Udp(), ArtNetPort = FreePort.Udp(), Refocus = refocus ? Request : null,
        });
        await running.Server.Start();
        running.Pump.Start();
        return running;
    }

    public void Dispose() => _folder.Dispose();

    /// <summary>The show and its page.</summary>
    internal sealed class Running : IAsyncDisposable
    {
        private readonly LiveShow _show;

        public Running(LiveShowOptions options)
        {
            Journal = new NightJournal(TimeProvider.System);
            _show = new LiveShow(options, Journal, TimeProvider.System);
            Pump = new FramePump(() => new SyntheticPictures(new SyntheticShow { Level = 60 }), Journal, TimeProvider.System, 60);
            Server = new LiveServer(new LiveServerOptions { Port = 0 }, _show, Pump, Journal, TimeProvider.System);
        }

        public NightJournal Journal { get; }

        public FramePump Pump { get; }

        public LiveServer Server { get; }

        public RefocusNow Refocus => _show.State().Refocus!;

        public async ValueTask DisposeAsync()
        {
            await Server.DisposeAsync();
            Pump.Dispose();
            _show.Dispose();
        }
    }
}
