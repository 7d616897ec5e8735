using System.Net;
using System.Net.Sockets;
using System.Net.WebSockets;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Connections;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using StageView.Ground.Words;
using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Show;
using StageView.Show.Notes;

namespace StageView.Live.Server;

/// <summary>Serves the page, its socket and the journal.</summary>
internal sealed class LiveServer : IAsyncDisposable
{
    private readonly LiveServerOptions _options;
    private readonly ILiveShow _show;
    private readonly FramePump _pump;
    private readonly NightJournal _journal;
    private readonly TimeProvider _clock;
    private readonly DoorKeys _keys;
    private readonly Doorkeeper _doorkeeper;
    private readonly PageQuestions _questions;
    private readonly SeatPlan _seats;
    private readonly CancellationTokenSource _stop = new();
    private readonly Lock _gate = new();
    private readonly Dictionary<IPAddress, int> _viewersAt = [];
    private readonly HashSet<IPAddress> _turnedAway = [];
    private WebApplication? _app;

    public LiveServer(LiveServerOptions options, ILiveShow show, FramePump pump, NightJournal journal, TimeProvider clock)
    {
        _options = options;
        _show = show;
        _pump = pump;
        _journal = journal;
        _clock = clock;
        _keys = new DoorKeys(clock);
        _doorkeeper = new Doorkeeper(_keys);
        _seats = new SeatPlan(show, journal, clock);
        _questions = new PageQuestions(show, _seats, options, journal);
    }

    /// <summary>Where the page is, without a key.</summary>
    public Uri Address { get; private set; } = new("http://127.0.0.1");

    public int Viewers
    {
        get
        {
            lock (_gate)
            {
                return _viewersAt.Values.Sum();
            }
        }
    }

    /// <summary>A link that lets one device in, once.</summary>
    /// <param name="host">Where the server is reached; its own address, or the first of this machine's where that is any, when null.</param>
    public Invitation Invite(DoorRole role, string? host = null)
    {
        var at = host ?? (Invitation.Reachable(_options.Address) is [var first, ..] && !first.Equals(_options.Address) ? Literal(first) : Address.Host);
        return new Invitation(new UriBuilder(Address) { Host = at, Path = Invitation.Path + _keys.NewKey(role) }.Uri);
    }

    /// <summary>As it stands in a link: IPv6 in brackets.</summary>
    private static string Literal(IPAddress address) => address.AddressFamily == AddressFamily.InterNetworkV6 ? $"[{address}]" : address.ToString();

    /// <exception cref="StopException">The port is taken, or the address isn't one of this machine's.</exception>
    public async Task Start()
    {
        var builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions());
        builder.Services.AddRouting();
        builder.Logging.ClearProviders();
        builder.WebHost.UseKestrelCore().UseKestrelHttpsConfiguration().ConfigureKestrel(k =>
        {
            k.AddServerHeader = false;
            k.Listen(_options.Address, _options.Port, l =>
            {
                l.Protocols = HttpProtocols.Http1;
                if (_options.Certificate is { } certificate)
                {
                    l.UseHttps(certificate);
                }
            });
            k.Limits.MaxConcurrentConnections = 64;
            k.Limits.MaxConcurrentUpgradedConnections = _options.MostViewers * 2;
            k.Limits.MaxRequestBodySize = 1024;
            k.Limits.MaxRequestHeadersTotalSize = 16 * 1024;
            k.Limits.MaxRequestLineSize = 2048;
            k.Limits.RequestHeadersTimeout = TimeSpan.FromSeconds(10);
            k.Limits.KeepAliveTimeout = TimeSpan.FromSeconds(60);
        });
        _app = builder.Build();
        _app.UseWebSockets(new WebSocketOptions { KeepAliveInterval = TimeSpan.FromSeconds(15), KeepAliveTimeout = TimeSpan.FromSeconds(15) });
        _app.Run(Handle);
        Address = await PageHost.Start(_app, _options.Address, _options.Port).ConfigureAwait(false);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync().ConfigureAwait(false);
        await PageHost.Stop(_app).ConfigureAwait(false);

        _seats.Dispose();
        _stop.Dispose();
    }

    private async Task Handle(HttpContext context)
    {
        var request = context.Request;
        var remote = context.Connection.RemoteIpAddress ?? IPAddress.None;
        var verdict = _doorkeeper.Judge(
            remote,
            context.Connection.LocalIpAddress ?? IPAddress.None,
            request.Host.Value ?? "",
            request.Headers.Origin.Count == 0 ? null : request.Headers.Origin.ToString(),
            request.Cookies[Doorkeeper.CookieName],
            HttpMethods.IsGet(request.Method) ? Invitation.KeyIn(request.Path.Value ?? "") : null,
            request.IsHttps,
            out var session,
            out var role);
        switch (verdict)
        {
            case Verdict.HangUp:
                _journal.Say("page", $"a request from {remote} without a key was not answered");
                context.Abort();
                return;
            case Verdict.Refuse:
                await Words(context, 403, "this page is served to its own address only").ConfigureAwait(false);
                return;
            case Verdict.EnterWithSession:
                _journal.Say("page", $"a key let {remote} in");
                context.Response.Cookies.Append(Doorkeeper.CookieName, session!,
                    new CookieOptions { HttpOnly = true, Secure = request.IsHttps, SameSite = SameSiteMode.Strict, Path = "/" });
                Harden(context.Response.Headers);
                context.Response.Headers.CacheControl = "no-store";
                await LetIn(context).ConfigureAwait(false);
                return;
        }

        Harden(context.Response.Headers);
        if (!HttpMethods.IsGet(request.Method) && !HttpMethods.IsHead(request.Method))
        {
            await Words(context, 405, "only GET is answered").ConfigureAwait(false);
            return;
        }

        await Answer(context, remote, role).ConfigureAwait(false);
    }

    private async Task Answer(HttpContext context, IPAddress remote, DoorRole role)
    {
        var path = context.Request.Path.Value ?? "/";
        switch (path)
        {
            case "/live":
                await View(context, remote, role).ConfigureAwait(false);
                return;
            case "/journal.txt":
                await Download(context, "text/plain; charset=utf-8", "journal.txt", _journal.ToText()).ConfigureAwait(false);
                return;
            case "/journal.jsonl":
                await Download(context, "application/jsonl; charset=utf-8", "journal.jsonl", _journal.ToJsonLines()).ConfigureAwait(false);
                return;
            case "/notes.html":
                await Page(context, NotesList.Html(_show.Rig.Name, _show.Notes.State.Notes, NotesFile.PicturesOf(_show.Notes.File))).ConfigureAwait(false);
                return;
            case "/notes.csv":
                await Download(context, "text/csv; charset=utf-8", "notes.csv",
                    NotesList.Csv(_show.Notes.State.Notes, NotesFile.PicturesOf(_show.Notes.File))).ConfigureAwait(false);
                return;
            case "/sound":
                await Sound(context).ConfigureAwait(false);
                return;
            case "/invitation" when !_options.LoopbackOnly && role == DoorRole.Lead:
                await MakeInvitation(context).ConfigureAwait(false);
                return;
        }

        if (Invitation.KeyIn(path) is not null)
        {
            // Who is in already needs no key.
            context.Response.Redirect("/");
            return;
        }

        if (!PageFiles.TryGet(path, out var file))
        {
            await Words(context, 404, "there is no such page here").ConfigureAwait(false);
            return;
        }

        context.Response.Headers.ETag = file.Tag;
        if (context.Request.Headers.IfNoneMatch == file.Tag)
        {
            context.Response.StatusCode = 304;
            return;
        }

        context.Response.ContentType = file.ContentType;
        context.Response.ContentLength = file.Bytes.Length;
        if (HttpMethods.IsGet(context.Request.Method))
        {
            await context.Response.Body.WriteAsync(file.Bytes, context.RequestAborted).ConfigureAwait(false);
        }
    }

    /// <summary>The music to what is shown, in whatever ranges a browser asks for.</summary>
    private async Task Sound(HttpContext context)
    {
        var seat = _seats.Find(context.Request.Query["seat"].ToString());
        if ((seat?.Now ?? _show).SoundFile is not { } file || !File.Exists(file))
        {
            await Words(context, 404, "there is no sound to what is shown").ConfigureAwait(false);
            return;
        }

        await Results.File(file, SoundType.Of(file), enableRangeProcessing: true).ExecuteAsync(context).ConfigureAwait(false);
    }

    private async Task MakeInvitation(HttpContext context)
    {
        var role = context.Request.Query["role"] == "lead" ? DoorRole.Lead : DoorRole.Look;

        // By the way that this page came, unless that is this machine's alone.
        var host = context.Connection.LocalIpAddress is { } local && !IPAddress.IsLoopback(local) ? context.Request.Host.Host : null;
        var invitation = Invite(role, host);
        context.Response.Headers.CacheControl = "no-store";
        await context.Response.WriteAsJsonAsync(new
        {
            link = invitation.Link.ToString(), qr = invitation.Svg(),
            fingerprint = _options.Certificate is { } certificate ? PageCertificate.Fingerprint(certificate) : null,
        }, context.RequestAborted).ConfigureAwait(false);
    }

    private async Task View(HttpContext context, IPAddress remote, DoorRole role)
    {
        if (!context.WebSockets.IsWebSocketRequest)
        {
            await Words(context, 400, "this address speaks WebSocket only").ConfigureAwait(false);
            return;
        }

        if (Admit(remote) is { } full)
        {
            await TurnAway(context, remote, full).ConfigureAwait(false);
            return;
        }

        try
        {
            _journal.Say("page", $"a viewer at {remote}");
            using var socket = await context.WebSockets.AcceptWebSocketAsync().ConfigureAwait(false);
            using var viewer = new Viewer(socket, _show, _pump, _seats, _questions, _journal, _options, _clock, role);
            using var end = CancellationTokenSource.CreateLinkedTokenSource(_stop.Token, context.RequestAborted);
            await viewer.Serve(end.Token).ConfigureAwait(false);
        }
        finally
        {
            _journal.Say("page", $"a viewer at {remote} left");
            lock (_gate)
            {
                if (--_viewersAt[remote] == 0)
                {
                    _viewersAt.Remove(remote);
                }
            }
        }
    }

    /// <summary>Counts a viewer in; or says why there is no room for it.</summary>
    private string? Admit(IPAddress remote)
    {
        lock (_gate)
        {
            var here = _viewersAt.GetValueOrDefault(remote);
            if (_viewersAt.Values.Sum() >= _options.MostViewers)
            {
                return $"{Counted.Of(_options.MostViewers, "viewer")} at once is the most";
            }

            if (here >= _options.MostViewersAnAddress && !IPAddress.IsLoopback(remote))
            {
                return $"{Counted.Of(_options.MostViewersAnAddress, "viewer")} at once from one device is the most";
            }

            _viewersAt[remote] = here + 1;
            _turnedAway.Remove(remote);
            return null;
        }
    }

    /// <summary>A browser tells its page nothing of an answer that isn't a socket, so the reason comes as a socket's last word.</summary>
    private async Task TurnAway(HttpContext context, IPAddress remote, string why)
    {
        bool first;
        lock (_gate)
        {
            // It asks again every few seconds; a bound, since anyone may ask.
            first = _turnedAway.Count < 64 && _turnedAway.Add(remote);
        }

        if (first)
        {
            _journal.Say("page", $"one viewer too many, from {remote}: {why}; it is let in once another has left");
        }

        using var socket = await context.WebSockets.AcceptWebSocketAsync().ConfigureAwait(false);
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(_stop.Token, context.RequestAborted);
        patience.CancelAfter(TimeSpan.FromSeconds(2));
        try
        {
            await socket.CloseAsync(WebSocketCloseStatus.PolicyViolation, why + "; close one, and this page goes on", patience.Token).ConfigureAwait(false);
        }
        catch (Exception e) when (e is OperationCanceledException or WebSocketException or IOException)
        {
            // It is gone, or never closed its side.
        }
    }

    private static void Harden(IHeaderDictionary headers)
    {
        headers.ContentSecurityPolicy =
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; media-src 'self'; connect-src 'self'; base-uri 'none'; "
            + "form-action 'none'; frame-ancestors 'none'";
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "no-referrer";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers.CacheControl = "no-cache";
    }

    /// <summary>The list of notes is a page of its own, with its style and pictures in it; nothing in it runs.</summary>
    private static async Task Page(HttpContext context, string html)
    {
        context.Response.Headers.ContentSecurityPolicy =
            "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; frame-ancestors 'none'";
        await Download(context, "text/html; charset=utf-8", "notes.html", html).ConfigureAwait(false);
    }

    /// <summary>
    /// A page that goes on by itself: a redirect belongs to whoever set the link, so that one on a web page, as of a mail, would come without the session's
    /// cookie (RFC 6265bis, section 5.2, "Strict").
    /// </summary>
    private static async Task LetIn(HttpContext context)
    {
        context.Response.ContentType = "text/html; charset=utf-8";
        await context.Response.WriteAsync("<!doctype html><html lang=\"en\"><title>StageView</title><meta http-equiv=\"refresh\" content=\"0; url=/\">"
            + "<p><a href=\"/\">You are in: open the page</a></p></html>\n", context.RequestAborted).ConfigureAwait(false);
    }

    private static async Task Words(HttpContext context, int status, string words)
    {
        context.Response.StatusCode = status;
        context.Response.ContentType = "text/plain; charset=utf-8";
        await context.Response.WriteAsync(words + "\n", context.RequestAborted).ConfigureAwait(false);
    }

    private static async Task Download(HttpContext context, string type, string name, string text)
    {
        context.Response.ContentType = type;
        context.Response.Headers.ContentDisposition = $"attachment; filename=\"{name}\"";
        await context.Response.WriteAsync(text, context.RequestAborted).ConfigureAwait(false);
    }
}
