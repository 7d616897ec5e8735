using System.Net;
using System.Net.Sockets;
using StageView.Live.Night;
using StageView.Live.Shown;

namespace StageView.Benchmarks;

/// <summary>The demo rig listening on ports of its own to a desk that moves its front light, or the mirror moment of its show too.</summary>
internal sealed class LiveDemo : IDisposable
{
    private readonly string _temporary = Directory.CreateTempSubdirectory("stageview-bench").FullName;
    private readonly MovingDesk _desk;

    public LiveDemo(bool mirrorMoment)
    {
        var scene = Path.Combine(Root(), "scenes", "foundry");
        var rig = Path.Combine(scene, "foundry.rig.jsonc");
        var (sacn, artNet) = (FreePort(), FreePort());
        Show = new LiveShow(new LiveShowOptions { RigFile = rig, Recordings = _temporary, Looks = _temporary, E131Port = sacn, ArtNetPort = artNet }, Journal,
            TimeProvider.System);
        _desk = new MovingDesk(rig, mirrorMoment ? Path.Combine(scene, "foundry.pcapng") : null, sacn);
    }

    public NightJournal Journal { get; } = new(TimeProvider.System);

    public LiveShow Show { get; }

    public void Dispose()
    {
        _desk.Dispose();
        Show.Dispose();
        Directory.Delete(_temporary, recursive: true);
    }

    private static int FreePort()
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return ((IPEndPoint)socket.LocalEndPoint!).Port;
    }

    public static string Root()
    {
        foreach (var start in new[] { Environment.CurrentDirectory, AppContext.BaseDirectory })
        {
            for (var d = new DirectoryInfo(start); d is not null; d = d.Parent)
            {
                if (Directory.Exists(Path.Combine(d.FullName, "scenes", "foundry")))
                {
                    return d.FullName;
                }
            }
        }

        throw new InvalidOperationException("the scenes folder lies neither above this folder nor above this program");
    }
}
