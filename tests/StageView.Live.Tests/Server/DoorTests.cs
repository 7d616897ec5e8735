using System.Net;
using System.Net.Sockets;
using System.Net.WebSockets;
using System.Text;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Server;

namespace StageView.Live.Tests.Server;

public sealed class DoorTests
{
    private static readonly IPAddress Here = IPAddress.Parse("192.0.2.7");
    private static readonly IPAddress There = IPAddress.Parse("192.0.2.9");

    [Fact]
    public void A_key_opens_once_and_the_session_it_opened_goes_on()
    {
        var keys = new DoorKeys(new FakeTimeProvider());
        var key = keys.NewKey();
        var session = keys.Spend(key);
        Assert.NotNull(session);
        Assert.Null(keys.Spend(key));
        Assert.True(keys.Opens(session));
        Assert.False(keys.Opens(key));
        Assert.False(keys.Opens(new string('0', 32)));
    }

    [Fact]
    public void Keys_and_sessions_end()
    {
        var clock = new FakeTimeProvider();
        var keys = new DoorKeys(clock);
        var (key, session) = (keys.NewKey(), keys.Spend(keys.NewKey()));
        clock.Advance(TimeSpan.FromHours(13));
        Assert.Null(keys.Spend(key));
        Assert.True(keys.Opens(session));
        clock.Advance(TimeSpan.FromHours(25));
        Assert.False(keys.Opens(session));
    }

    [Theory]
    [InlineData("192.0.2.7:4960", null, nameof(Verdict.HangUp))]
    [InlineData("rebound.example:4960", null, nameof(Verdict.HangUp))]
    public void Another_address_without_a_session_hears_nothing(string host, string? origin, string verdict) =>
        Assert.Equal(verdict, new Doorkeeper(new DoorKeys(TimeProvider.System)).Judge(There, Here, host, origin, null, null, out _).ToString());

    [Theory]
    [InlineData("127.0.0.1:4960", null, nameof(Verdict.Enter))]
    [InlineData("localhost:4960", "http://localhost:4960", nameof(Verdict.Enter))]
    [InlineData("127.0.0.1:4960", "http://elsewhere.example", nameof(Verdict.Refuse))]
    [InlineData("127.0.0.1:4960", "http://127.0.0.1:8080", nameof(Verdict.Refuse))]
    [InlineData("rebound.example:4960", null, nameof(Verdict.Refuse))]
    [InlineData("192.0.2.7:4960", null, nameof(Verdict.Refuse))]
    [InlineData("127.0.0.1:4960:1", null, nameof(Verdict.Refuse))]
    [InlineData("", null, nameof(Verdict.Refuse))]
    public void At_loopback_only_our_own_names_and_pages_enter(string host, string? origin, string verdict) =>
        Assert.Equal(verdict, new Doorkeeper(new DoorKeys(TimeProvider.System)).Judge(IPAddress.Loopback, IPAddress.Loopback, host, origin, null, null,
            out _).ToString());

    [Fact]
    public void Other_sites_pages_stay_out_even_with_a_session()
    {
        var keys = new DoorKeys(TimeProvider.System);
        var door = new Doorkeeper(keys);
        Assert.Equal(Verdict.EnterWithSession, door.Judge(There, Here, "192.0.2.7:4960", null, null, keys.NewKey(), out var session));
        Assert.Equal(Verdict.Enter, door.Judge(There, Here, "192.0.2.7:4960", "http://192.0.2.7:4960", session, null, out _));
        Assert.Equal(Verdict.Refuse, door.Judge(There, Here, "192.0.2.7:4960", "http://elsewhere.example", session, null, out _));
    }

    [Fact]
    public async Task Over_a_real_address_nothing_is_answered_until_the_key_was_spent()
    {
        if (ServedShow.OtherAddress() is not { } address)
        {
            Assert.Skip("this machine has no address beside loopback");
            return;
        }

        await using var served = await ServedShow.Start(new LiveServerOptions { Address = address });
        var invitation = served.Server.Invitation();
        foreach (var request in new[]
        {
            "GET / HTTP/1.1\r\nHost: {0}\r\n\r\n",
            "GET /live HTTP/1.1\r\nHost: {0}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: "
                + "AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n",
            "GET /journal.txt HTTP/1.1\r\nHost: {0}\r\nCookie: stageview=00000000000000000000000000000000\r\n\r\n",
            "GET /?key=00000000000000000000000000000000 HTTP/1.1\r\nHost: {0}\r\n\r\n",
            "GET /invitation HTTP/1.1\r\nHost: {0}\r\n\r\n", "OPTIONS * HTTP/1.1\r\nHost: {0}\r\n\r\n", "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n",
        })
        {
            // From the outside address to itself: the kernel gives that address as the sender's.
            Assert.Equal("", await Raw(served, string.Format(null, request, served.Server.Address.Authority)));
        }

        using var http = served.Http();
        using var entered = await http.GetAsync(invitation, TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.Redirect, entered.StatusCode);
        var cookie = entered.Headers.GetValues("Set-Cookie").Single();
        Assert.Contains("httponly", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("samesite=strict", cookie, StringComparison.OrdinalIgnoreCase);
        await Assert.ThrowsAnyAsync<HttpRequestException>(() => http.GetAsync(invitation, TestContext.Current.CancellationToken));
        http.DefaultRequestHeaders.Add("Cookie", cookie.Split(';')[0]);
        Assert.Contains("<html", await http.GetStringAsync("/", TestContext.Current.CancellationToken), StringComparison.Ordinal);
        using var socket = await served.Connect(o => o.SetRequestHeader("Cookie", cookie.Split(';')[0]));
        await PageSocket.HearUntil(socket, (t, _) => t == WebSocketMessageType.Binary);
    }

    [Theory]
    [InlineData("/../LiveVerb.cs")]
    [InlineData("/..%2f..%2fetc%2fpasswd")]
    [InlineData("/%2e%2e/%2e%2e/%2e%2e/etc/passwd")]
    [InlineData("/....//....//etc/passwd")]
    [InlineData("//etc/passwd")]
    [InlineData("/index.html%00.txt")]
    [InlineData("/\\..\\..\\etc\\passwd")]
    [InlineData("/index.html/")]
    [InlineData("/journal.txt/../../etc/passwd")]
    [InlineData("/Live/Page/index.html")]
    public async Task No_path_leads_out_of_the_page(string path)
    {
        await using var served = await ServedShow.Start();
        var answer = await Raw(served, $"GET {path} HTTP/1.1\r\nHost: {served.Server.Address.Authority}\r\nConnection: close\r\n\r\n");
        Assert.Matches("^HTTP/1.1 4\\d\\d", answer);
        Assert.DoesNotContain("root:", answer, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Writing_methods_and_long_heads_are_refused()
    {
        await using var served = await ServedShow.Start();
        var host = served.Server.Address.Authority;
        Assert.StartsWith("HTTP/1.1 405", await Raw(served, $"DELETE / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"), StringComparison.Ordinal);
        Assert.StartsWith("HTTP/1.1 414", await Raw(served, $"GET /{new string('a', 5000)} HTTP/1.1\r\nHost: {host}\r\n\r\n"), StringComparison.Ordinal);
        Assert.StartsWith("HTTP/1.1 431", await Raw(served, $"GET / HTTP/1.1\r\nHost: {host}\r\nX-Long: {new string('a', 40_000)}\r\n\r\n"),
            StringComparison.Ordinal);
    }

    internal static async Task<string> Raw(ServedShow served, string request)
    {
        using var client = new TcpClient();
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        patience.CancelAfter(TimeSpan.FromSeconds(15));
        await client.ConnectAsync(served.Server.Address.Host, served.Server.Address.Port, patience.Token);
        var stream = client.GetStream();
        var answer = new MemoryStream();
        try
        {
            await stream.WriteAsync(Encoding.Latin1.GetBytes(request), patience.Token);
            await stream.CopyToAsync(answer, patience.Token);
        }
        catch (IOException)
        {
            // Hung up on: what was heard before counts.
        }

        return Encoding.Latin1.GetString(answer.ToArray());
    }
}
