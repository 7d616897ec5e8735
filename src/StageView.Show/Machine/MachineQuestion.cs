using System.Runtime.InteropServices;
using StageView.Ground.Fonts;
using StageView.Ground.Systems;
using StageView.Render.Contexts;
using StageView.Show.Programs;
using StageView.Wire.Sockets;

namespace StageView.Show.Machine;

/// <summary>What StageView finds of the machine that it runs on: each thing tried, none assumed.</summary>
public static class MachineQuestion
{
    private static readonly TimeSpan s_patience = TimeSpan.FromSeconds(10);

    /// <param name="pagePort">TCP port of the page.</param>
    /// <param name="udpPorts">UDP ports that consoles send to, with their names.</param>
    public static IReadOnlyList<MachineFact> Ask(int pagePort, IReadOnlyList<(string Name, int Port)> udpPorts)
    {
        ArgumentNullException.ThrowIfNull(udpPorts);
        List<MachineFact> facts =
        [
            new("system", $"{ThisSystem.Name}: {RuntimeInformation.OSDescription.Trim()}, {RuntimeInformation.ProcessArchitecture}"),
            new("runtime", RuntimeInformation.FrameworkDescription),
            Drawing(),
            Window(),
            new("font", $"carried along, {SansFont.Bytes.Length / 1024} KiB"),
            Ffmpeg("ffmpeg", "videos, live inputs and timecode in sound"),
            Ffmpeg("ffprobe", "videos as content"),
            Sockets(),
            new("addresses", string.Join(", ", SocketFacts.Addresses())),
        ];
        facts.AddRange(udpPorts.Select(p => SocketFacts.WhyUdpNotFree(p.Port) is { } why
            ? new MachineFact($"{p.Name}, UDP {p.Port}", why, "end it where StageView hears less than the console sends: unicast reaches one program alone")
            : new MachineFact($"{p.Name}, UDP {p.Port}", "free")));
        facts.Add(Page(pagePort));
        facts.Add(Folder("kept for the next start", OwnFolders.Kept("")?.TrimEnd(Path.DirectorySeparatorChar)));
        return facts;
    }

    private static MachineFact Drawing()
    {
        try
        {
            using var context = Offscreen.Open();
            context.Enter();
            context.Leave();
            return new MachineFact("drawing", $"{context.Renderer}, {context.DriverVersion}, by {Offscreen.Way}; {context.Way}",
                context.IsSoftware ? "the processor draws: install the graphics driver where there is a graphics card" : null);
        }
        catch (MachineCannotException e)
        {
            return new MachineFact("drawing", "none: no pictures, no video, no live view", e.Message);
        }
    }

    private static MachineFact Window()
    {
        if (!ScreenWindow.HasDisplay)
        {
            return new MachineFact("window", "no display is named: live opens none, the page works all the same");
        }

        if (!ScreenWindow.TryOpen("StageView", 64, 64, visible: false, out var window, out var why))
        {
            return new MachineFact("window", "none; the page works all the same", why);
        }

        using (window)
        {
            return new MachineFact("window", string.Join(", ", window.Screens().Select(s => $"{s.Name} {s.Width}x{s.Height}")));
        }
    }

    private static MachineFact Ffmpeg(string program, string what)
    {
        if (OutsideProgram.Find(program) is not { } file)
        {
            return new MachineFact(program, $"not found: no {what}", OutsideProgram.Install("ffmpeg"));
        }

        var first = ProgramWords.Of(file, ["-hide_banner", "-version"], s_patience)?.Split('\n')[0].Trim();
        return first is { Length: > 0 } ? new MachineFact(program, $"{file}: {first}")
            : new MachineFact(program, $"{file} does not answer", OutsideProgram.Install("ffmpeg"));
    }

    private static MachineFact Sockets()
    {
        var facts = SocketFacts.OfThisMachine();
        var drops = facts.TellsDrops ? "counted" : "not told by this system";
        return new MachineFact("sockets", $"{facts.Receiver}, {facts.BufferBytes / 1024} KiB of receive buffer, dropped packets {drops}");
    }

    private static MachineFact Page(int port) => SocketFacts.WhyTcpNotFree(port) is { } why
        ? new MachineFact($"page, TCP {port}", why + ", perhaps StageView itself", "name another with live --port")
        : new MachineFact($"page, TCP {port}", "free");

    private static MachineFact Folder(string what, string? folder)
    {
        if (folder is null)
        {
            return new MachineFact(what, "nothing: this user has no folder for it");
        }

        var there = folder;
        while (!Directory.Exists(there) && Path.GetDirectoryName(there) is { } up)
        {
            there = up;
        }

        return OwnFolders.CanWrite(there) ? new MachineFact(what, folder)
            : new MachineFact(what, $"{there} can't be written to", "give this user the right to");
    }
}
