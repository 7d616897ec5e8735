using System.Net;
using System.Net.Sockets;
using StageView.Live.Night;
using StageView.Live.Server;
using StageView.Live.Shown;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Live.Tests.Page;

/// <summary>
/// A small show as somebody meets it in the middle of a night: heads that two desks fight over, a universe that nobody sends, a look, the server and its page.
/// Drawn grey.
/// </summary>
internal sealed class TaskShow : IAsyncDisposable
{
    private const string Text = """
        {
          "name": "Evening show", "profiles": ["PROFILES"], "bounces": 1, "haze": { "extinction": 0.001 },
          "cameras": [
            { "name": "house", "at": [0, -14, 4], "lookAt": [0, 3, 4], "fieldOfView": 50, "ev": 7 },
            { "name": "from the left", "at": [-12, -6, 4], "lookAt": [0, 3, 4], "fieldOfView": 50, "ev": 7 }],
          "parts": [
            { "name": "truss", "at": [0, 0, 8], "hangs": [
              { "name": "head 1", "profile": "spot-head", "number": 1, "at": [-3, 0, 0], "patch": "1.1" },
              { "name": "head 2", "profile": "spot-head", "number": 2, "patch": "1.101" },
              { "name": "head 3", "profile": "spot-head", "number": 3, "at": [3, 0, 0], "patch": "1.201" }] },
            { "name": "boom", "at": [6, 0, 5], "hangs": [{ "name": "side", "profile": "spot-head", "number": 4, "patch": "2.1" }] }],
          "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] },
            { "name": "back wall", "shape": "box", "at": [0, 9, 4], "size": [20, 0.2, 8] }]
        }
        """;

    private readonly TempFolder _folder = new();
    private readonly NightJournal _journal = new(TimeProvider.System);
    private readonly CancellationTokenSource _stop = new();
    private readonly FramePump _pump;
    private readonly Task _sending;

    private TaskShow()
    {
        _folder.File("show.rig.jsonc", Rig);
        _folder.File("one.look.jsonc", """{ "set": [{ "fixtures": "head 1", "dimmer": 1, "zoom": 8, "aim": [-2, 5, 0] }] }""");
        var port = FreePort.Udp();
        Show = new LiveShow(new LiveShowOptions
        {
            RigFile = _folder["show.rig.jsonc"], Recordings = _folder["recordings"], Looks = _folder.Path, LookAtFiles = TimeSpan.FromMilliseconds(40),
            E131Port = port, ArtNetPort = FreePort.Udp(),
        }, _journal, TimeProvider.System);
        _pump = new FramePump(() => new SyntheticPictures(new SyntheticShow { Level = 60 }), _journal, TimeProvider.System, 60);
        Server = new LiveServer(new LiveServerOptions { Port = 0 }, Show, _pump, _journal, TimeProvider.System);
        _sending = Send(port, _stop.Token);
    }

    public static string Rig => Text.Replace("PROFILES", Repo.File("assets", "fixtures"), StringComparison.Ordinal);

    public LiveShow Show { get; }

    public LiveServer Server { get; }

    public static async Task<TaskShow> Start()
    {
        var show = new TaskShow();
        await show.Server.Start();
        show._pump.Start();
        return show;
    }

    /// <summary>Saves the rig file as careful editors do.</summary>
    public void Save(string text)
    {
        _folder.File("show.rig.jsonc.new", text);
        File.Move(_folder["show.rig.jsonc.new"], _folder["show.rig.jsonc"], overwrite: true);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _sending;
        await Server.DisposeAsync();
        _pump.Dispose();
        Show.Dispose();
        _stop.Dispose();
        _folder.Dispose();
    }

    private static async Task Send(int port, CancellationToken stop)
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        var (to, packet, levels) = (new IPEndPoint(IPAddress.Loopback, port), new byte[E131Numbers.LongestDataPacket], new byte[512]);
        var desks = new[] { (Cid.From(Guid.NewGuid()), "main desk", (byte)140), (Cid.From(Guid.NewGuid()), "spare desk", (byte)90) };
        for (byte sequence = 0; !stop.IsCancellationRequested; sequence++)
        {
            foreach (var (cid, name, level) in desks)
            {
                Array.Fill(levels, level);
                var length = E131Writer.Write(packet, new E131DataPacket
                {
                    Cid = cid, SourceName = System.Text.Encoding.UTF8.GetBytes(name), Priority = 100, Universe = new UniverseNumber(1), Sequence = sequence,
                    Levels = levels,
                });
                socket.SendTo(packet.AsSpan(0, length), to);
            }

            await Task.Delay(50, CancellationToken.None);
        }
    }
}
