using System.Globalization;
using StageView.Live.Night;
using StageView.Live.Pictures;
using StageView.Live.Server;
using StageView.Live.Shown;

namespace StageView.Live.Running;

/// <summary>What <c>stageview live</c> was asked for.</summary>
public sealed record LiveRequest
{
    /// <summary>The show.</summary>
    public required LiveShowOptions Show { get; init; }

    /// <summary>Where its page is served.</summary>
    public required LiveServerOptions Server { get; init; }

    /// <summary>Whether a window is opened.</summary>
    public bool Window { get; init; }

    /// <summary>Whether the invitation is shown as a QR code, too: in a terminal.</summary>
    public bool ShowsCode { get; init; }

    /// <summary>Told where the page is, once it is served; null for nobody.</summary>
    public Action<Uri>? Served { get; init; }

    /// <summary>Whether pictures show what matt surfaces throw on each other.</summary>
    public bool Indirect { get; init; }
}

/// <summary>Runs a live show until it is told to end.</summary>
public static class LiveRun
{
    /// <param name="request">What is asked for.</param>
    /// <param name="say">Where the page's address and the journal are written, a line each.</param>
    /// <param name="stop">Ends it.</param>
    public static async Task Run(LiveRequest request, TextWriter say, CancellationToken stop)
    {
        var clock = TimeProvider.System;
        var journal = new NightJournal(clock);
        journal.Added += e => Told(say, string.Create(CultureInfo.InvariantCulture, $"{e.At:HH:mm:ss}  {e.Kind,-8}  {e.Text}"));
        using var show = new LiveShow(request.Show, journal, clock);
        var patience = new DrawingPatience(clock);
        var drawers = new DrawersInTurn(
            (window, standing) => PicturesProcess.Start(show, window, journal.Say, patience, standing, indirect: request.Indirect), request.Window, clock);
        using var pump = new FramePump(drawers.Next, journal, clock, request.Server.MostFramesPerSecond);
        show.Changed += pump.Wake;
        await using var server = new LiveServer(request.Server, show, pump, journal, clock);
        await server.Start().ConfigureAwait(false);
        pump.Start();
        if (request.Server.LoopbackOnly)
        {
            say.WriteLine($"the page is at {server.Address}");
            request.Served?.Invoke(server.Address);
        }
        else
        {
            var invitation = server.Invite(DoorRole.Lead);
            say.WriteLine($"the page is at {invitation.Link}");
            request.Served?.Invoke(new Uri(invitation.Link.ToString()));
            say.WriteLine("that address lets one device in, once, to lead; the page of a device that leads invites others (under Keys)");
            foreach (var line in request.ShowsCode ? invitation.Lines() : [])
            {
                say.WriteLine(line);
            }
        }

        if (request.Server.Certificate is { } certificate)
        {
            say.WriteLine($"over HTTPS; each device compares the certificate's SHA-256 fingerprint: {PageCertificate.Fingerprint(certificate)}");
        }

        say.WriteLine("end with Ctrl+C");
        try
        {
            await Task.Delay(Timeout.Infinite, stop).ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
            journal.Say("show", "ending");
        }
    }

    /// <summary>Says a line. Where it can't be said (a log on a disk that is full), the night goes on; the page has the journal.</summary>
    private static void Told(TextWriter say, string line)
    {
        try
        {
            say.WriteLine(line);
        }
        catch (IOException)
        {
        }
    }
}
